package job

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// General limits of a length, mm: nothing a shop forms is longer or finer.
const (
	leastLength = 1e-3
	mostLength  = 1e4
)

// inch is exactly 25.4 mm (ISO 80000-3).
const inch = 25.4

// measure is a kind of quantity: its name with the article and the units it may carry, with the factor to the base
// unit. The unit "" is a bare number.
type measure struct {
	name  string
	units []unit
	write string // examples of what may be written
}

type unit struct {
	name   string
	factor float64
}

var (
	lengths = measure{"a length", []unit{{"mm", 1}, {"in", inch}, {"inch", inch}}, "12, 12 mm or 0.5 in"}
	angles  = measure{"an angle", []unit{{"deg", 1}}, "6 or 6 deg"}
	temps   = measure{"a temperature", []unit{{"degC", 1}}, "60 or 60 degC"}
	numbers = measure{"a number", nil, "a plain number such as 1.5"}
)

// evaluate turns the text of a number into its value in the base unit. It is the one place where the digits
// of a number of a job file are understood, within expressions too. A bare number is multiplied by bare. The error says what
// is wrong with the text, not where it stands.
func (m *measure) evaluate(text string, bare float64) (float64, error) {
	s := strings.TrimSpace(text)
	n := decimal(s)
	suffix := strings.TrimLeft(s[n:], " ")
	factor := bare
	if n > 0 && suffix != "" {
		factor = 0
		for _, u := range m.units {
			if u.name == suffix {
				factor = u.factor
			}
		}
	}
	if n == 0 || factor == 0 {
		return 0, m.mistake(text, s[:n], suffix)
	}
	v, err := strconv.ParseFloat(s[:n], 64)
	switch {
	case err != nil:
		return 0, fmt.Errorf("%s is too large for a number", quote(text))
	case v == 0 && strings.Trim(mantissa(s[:n]), "-+0.") != "":
		return 0, fmt.Errorf("%s is too small for a number", quote(text))
	}
	return scale(s[:n], v, factor) + 0, nil // + 0 makes a plain zero of -0
}

// scale returns v, read from the decimal text, times the factor of its unit. Inches are multiplied
// as decimals, so that 1.5 in is the number nearest to 38.1 mm and not the one beside it.
func scale(text string, v, factor float64) float64 {
	if factor == 1 || len(text) > 40 || max(v, -v) > 1e9 || max(v, -v) < 1e-9 {
		return v * factor
	}
	x, ok := new(big.Rat).SetString(text)
	f, fok := new(big.Rat).SetString(strconv.FormatFloat(factor, 'g', -1, 64))
	if !ok || !fok {
		return v * factor
	}
	v, _ = x.Mul(x, f).Float64()
	return v
}

// decimal returns how many bytes at the start of s are a plain decimal number: sign, digits
// without leading zeros, point and digits, exponent.
func decimal(s string) int {
	i := 0
	if i < len(s) && (s[i] == '-' || s[i] == '+') {
		i++
	}
	d := digits(s[i:])
	if d == 0 || d > 1 && s[i] == '0' {
		return 0
	}
	i += d
	if i < len(s) && s[i] == '.' {
		f := digits(s[i+1:])
		if f == 0 {
			return 0
		}
		i += 1 + f
	}
	if i < len(s) && (s[i] == 'e' || s[i] == 'E') {
		j := i + 1
		if j < len(s) && (s[j] == '-' || s[j] == '+') {
			j++
		}
		if e := digits(s[j:]); e > 0 {
			i = j + e
		}
	}
	return i
}

func digits(s string) int {
	n := 0
	for n < len(s) && '0' <= s[n] && s[n] <= '9' {
		n++
	}
	return n
}

func mantissa(s string) string {
	if i := strings.IndexAny(s, "eE"); i >= 0 {
		return s[:i]
	}
	return s
}

// mistake says what is wrong with the text of a number and, where it can be told, what to write.
func (m *measure) mistake(text, number, suffix string) error {
	if w := mend(text); w != "" {
		return fmt.Errorf("%s is not written as a plain decimal number; write %s", quote(text), w)
	}
	switch t := strings.ToLower(strings.Trim(text, "+-. ")); t {
	case "nan", "inf", "infinity":
		return fmt.Errorf("%s is not a finite number", quote(text))
	}
	if number != "" && suffix != "" {
		if w := m.convert(number, suffix); w != "" {
			return fmt.Errorf("unit %s is not taken for %s; write %s", quote(suffix), m.name, w)
		}
		if isWord(suffix) {
			if len(m.units) == 0 {
				return fmt.Errorf("unit %s: a plain number carries no unit", quote(suffix))
			}
			return fmt.Errorf("unit %s is not taken for %s", quote(suffix), m.name)
		}
	}
	if p := strings.Split(text, ":"); len(p) > 1 && digits(p[0]) == len(p[0]) {
		return fmt.Errorf("%s mixes units as a clock does; write one decimal number", quote(text))
	}
	return fmt.Errorf("%s is not %s", quote(text), m.name)
}

func isWord(s string) bool {
	return strings.Trim(strings.ToLower(s), "abcdefghijklmnopqrstuvwxyz%°\"'µ") == ""
}

// foreign lists units met at the bench that a job file does not take: name, measure, and what one
// of them is in the base unit, with the offset of its zero.
var foreign = []struct {
	name, of       string
	factor, offset float64
	base           string
}{
	{"cm", "a length", 10, 0, "mm"}, {"m", "a length", 1000, 0, "mm"}, {"um", "a length", 1e-3, 0, "mm"},
	{"µm", "a length", 1e-3, 0, "mm"}, {"ft", "a length", 304.8, 0, "mm"}, {"MM", "a length", 1, 0, "mm"},
	{"\"", "a length", 1, 0, "in"}, {"inches", "a length", 1, 0, "in"}, {"IN", "a length", 1, 0, "in"},
	{"thou", "a length", 1e-3, 0, "in"}, {"mil", "a length", 1e-3, 0, "in"},
	{"°", "an angle", 1, 0, "deg"}, {"degrees", "an angle", 1, 0, "deg"}, {"degree", "an angle", 1, 0, "deg"},
	{"rad", "an angle", 180 / math.Pi, 0, "deg"},
	{"C", "a temperature", 1, 0, "degC"}, {"°C", "a temperature", 1, 0, "degC"},
	{"F", "a temperature", 5.0 / 9, -32, "degC"}, {"°F", "a temperature", 5.0 / 9, -32, "degC"},
	{"degF", "a temperature", 5.0 / 9, -32, "degC"}, {"K", "a temperature", 1, -273.15, "degC"},
}

// convert returns what to write for a number in a unit that is not taken, "" for an unknown one.
func (m *measure) convert(number, suffix string) string {
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return ""
	}
	for _, f := range foreign {
		if f.name == suffix && f.of == m.name {
			return short((v+f.offset)*f.factor) + " " + f.base
		}
	}
	return ""
}

// mend returns the plain decimal form of a number in one of the other notations YAML, programming
// languages or offices know, "" where the meaning is not certain.
func mend(text string) string {
	s := strings.TrimSpace(text)
	neg := ""
	switch {
	case strings.HasPrefix(s, "−"):
		neg, s = "-", strings.TrimPrefix(s, "−")
	case strings.HasPrefix(s, "-"), strings.HasPrefix(s, "+"):
		neg, s = strings.TrimPrefix(s[:1], "+"), s[1:]
	}
	end := strings.IndexFunc(s, func(r rune) bool { return r == ' ' })
	if end < 0 {
		end = len(s)
	}
	s, suffix := s[:end], s[end:]
	if len(s) > 40 || suffix != "" && !isWord(strings.TrimSpace(suffix)) {
		return ""
	}
	if len(s) > 2 && s[0] == '0' && strings.ContainsRune("xXoObB", rune(s[1])) {
		if v, err := strconv.ParseInt(s, 0, 64); err == nil {
			return neg + strconv.FormatInt(v, 10) + suffix
		}
		return ""
	}
	if a, b, ok := strings.Cut(s, "/"); ok && decimal(a) == len(a) && decimal(b) == len(b) && a != "" && b != "" {
		x, _ := strconv.ParseFloat(a, 64)
		if y, _ := strconv.ParseFloat(b, 64); y != 0 && suffix != "" { // 1/2 alone is an expression
			return neg + short(x/y) + suffix
		}
		return ""
	}
	s = strings.ReplaceAll(s, "_", "")
	if a, b, ok := strings.Cut(s, ","); ok && !strings.ContainsAny(b, ".,") && len(b) != 3 {
		s = a + "." + b // three digits after the comma may be thousands
	}
	if strings.HasPrefix(s, ".") {
		s = "0" + s
	}
	whole, rest := s, ""
	if i := strings.IndexAny(s, ".eE"); i >= 0 {
		whole, rest = s[:i], s[i:]
	}
	if whole != "" && digits(whole) == len(whole) {
		if whole = strings.TrimLeft(whole, "0"); whole == "" {
			whole = "0"
		}
	}
	s = whole + strings.TrimSuffix(rest, ".")
	w := neg + s + suffix
	if s == "" || decimal(neg+s) != len(neg+s) || w == strings.TrimSpace(text) {
		return ""
	}
	return w
}

// short returns a number for a message, six digits at most.
func short(v float64) string {
	return strconv.FormatFloat(v, 'g', 6, 64)
}
