package render

// BarLength is barLength.
var BarLength = barLength
