package source

import "strconv"

// The Source of numbers that have none.
const (
	memory   = "from memory"
	practice = "shop practice"
)

// Value is a number with what stands behind it. Its unit is said by whoever holds it.
type Value struct {
	V      float64 `json:"value"`
	Mark   Mark    `json:"mark"`
	Source string  `json:"source"` // published name, or how it was derived
}

// Of returns a value from a named source.
func Of(v float64, m Mark, src string) Value { return Value{v, m, src} }

// Memory returns a value from memory that nobody has checked.
func Memory(v float64) Value { return Value{v, M, memory} }

// Practice returns a value of common practice for which no source was found.
func Practice(v float64) Value { return Value{v, P, practice} }

// Derived returns a value that follows by mathematics from how.
func Derived(v float64, how string) Value { return Value{v, D, "derived: " + how} }

// Cite returns where the value comes from, in the words for its mark.
func (v Value) Cite() string { return v.Mark.Cite(v.Source) }

// String returns the number with its citation.
func (v Value) String() string { return number(v.V) + " (" + v.Cite() + ")" }

// Range is a span from Low to High with what stands behind it.
type Range struct {
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
	Mark   Mark    `json:"mark"`
	Source string  `json:"source"` // published name, or how it was derived
}

// Between returns a range from a named source.
func Between(low, high float64, m Mark, src string) Range { return Range{low, high, m, src} }

// MemoryRange returns a range from memory that nobody has checked.
func MemoryRange(low, high float64) Range { return Range{low, high, M, memory} }

// PracticeRange returns a range of common practice for which no source was found.
func PracticeRange(low, high float64) Range { return Range{low, high, P, practice} }

// Mid returns the middle of the range, as good as the range itself.
func (r Range) Mid() Value { return Value{(r.Low + r.High) / 2, r.Mark, r.Source} }

// Holds reports whether v lies in the range, ends included.
func (r Range) Holds(v float64) bool { return r.Low <= v && v <= r.High }

// Cite returns where the range comes from, in the words for its mark.
func (r Range) Cite() string { return r.Mark.Cite(r.Source) }

// String returns the span with its citation.
func (r Range) String() string {
	if r.Low == r.High {
		return r.Mid().String()
	}
	return number(r.Low) + " to " + number(r.High) + " (" + r.Cite() + ")"
}

// Advice is a sentence of the trade with what stands behind it.
type Advice struct {
	Text   string `json:"text"`
	Mark   Mark   `json:"mark"`
	Source string `json:"source"`
}

// Say returns advice from a named source.
func Say(text string, m Mark, src string) Advice { return Advice{text, m, src} }

// PracticeSay returns advice of common practice for which no source was found.
func PracticeSay(text string) Advice { return Advice{text, P, practice} }

// MemorySay returns advice from memory that nobody has checked.
func MemorySay(text string) Advice { return Advice{text, M, memory} }

// Cite returns where the advice comes from, in the words for its mark.
func (a Advice) Cite() string { return a.Mark.Cite(a.Source) }

// Row is one line of a printed table of figures.
type Row struct {
	Label  string `json:"label"`
	Value  string `json:"value"`
	Unit   string `json:"unit,omitempty"`
	Mark   Mark   `json:"mark"`
	Source string `json:"source"`
}

// number writes v with the fewest digits that give it back.
func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
