package job

import (
	"fmt"
	"slices"
	"strings"
)

func letter(c rune) bool { return 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || c == '_' }

// scan reads the text into operands and what the library parses. It refuses every character and every sequence
// that is no arithmetic, so that what is left to the library is which operator goes first.
func (x *expression) scan() *flaw {
	var open []int
	operand := false // the last was a number, a name or a closed bracket
	for i := 0; i < len(x.text); {
		c := x.text[i]
		switch {
		case c == ' ':
			i++
			continue
		case '0' <= c && c <= '9' || letter(c):
			if operand {
				return x.juxtaposed(i)
			}
			n, call, f := x.operand(i)
			if f != nil {
				return f
			}
			i, operand = n, !call
			continue
		case c == '(':
			if operand {
				return flawed(i, "an operator is missing before (; write * to multiply")
			}
			open = append(open, i)
		case c == ')':
			if len(open) == 0 {
				return flawed(i, ") closes no bracket")
			}
			open = open[:len(open)-1]
		case c == '*' && i+1 < len(x.text) && x.text[i+1] == '*':
			return flawed(i, "** is no operator here; write ^ for a power")
		case !strings.ContainsRune("+-*/^,", c):
			return flawed(i, "%s has no place in an expression; numbers, names, + - * / ^, brackets and functions", quote(string(c)))
		}
		operand = c == ')'
		x.emit(string(c), i)
		i++
	}
	if len(open) > 0 {
		return flawed(open[len(open)-1], "( is not closed; a comma within [ ] or { } ends the entry unless the expression stands in quotes")
	}
	return nil
}

// juxtaposed says what two operands side by side lack.
func (x *expression) juxtaposed(i int) *flaw {
	word := string(x.text[i:x.wordEnd(i)])
	if x.text[i] > '9' && unitOf(word) != "" {
		return flawed(i, "the unit %s goes with a number; multiply by 1 %s", word, word)
	}
	return flawed(i, "an operator is missing before %s; write * to multiply", quote(word))
}

func (x *expression) wordEnd(i int) int {
	for i < len(x.text) && (letter(x.text[i]) || '0' <= x.text[i] && x.text[i] <= '9') {
		i++
	}
	return i
}

func (x *expression) emit(s string, at int) {
	x.safe.WriteString(s)
	for range len(s) {
		x.from = append(x.from, at)
	}
}

// keep hands the library a placeholder for a number.
func (x *expression) keep(q quantity, at int) {
	x.emit(fmt.Sprintf(" _%d ", len(x.operands)), at)
	x.operands = append(x.operands, q)
}

// operand reads a number with its unit, a name, or the name of a function and its bracket's beginning, and
// returns where it ends.
func (x *expression) operand(i int) (end int, call bool, f *flaw) {
	if x.text[i] <= '9' {
		end, f = x.number(i)
		return end, false, f
	}
	end = x.wordEnd(i)
	word := string(x.text[i:end])
	_, isFunction := functions[word]
	next := end
	for next < len(x.text) && x.text[next] == ' ' {
		next++
	}
	called := next < len(x.text) && x.text[next] == '('
	switch {
	case isFunction && called:
		x.emit("f_"+word, i)
		return end, true, nil
	case isFunction:
		return end, false, flawed(i, "%s is a function; it takes its numbers in brackets", quote(word))
	case called:
		return end, false, &flaw{at: i, text: "no function is named " + quote(word) + "; " + strings.Join(functionNames(), ", "), names: meant{word: word, names: functionNames()}}
	case word == "pi":
		x.keep(quantity{v: 3.141592653589793}, i)
		return end, false, nil
	}
	q, f := x.names(word)
	if f != nil {
		f.at = i
		return end, false, f
	}
	x.keep(q, i)
	return end, false, nil
}

// number reads a number with the unit that follows it.
func (x *expression) number(i int) (int, *flaw) {
	rest := string(x.text[i:])
	if w := string(x.text[i:x.wordEnd(i)]); mend(w) != "" {
		return i, flawed(i, "%s is not written as a plain decimal number; write %s", quote(w), mend(w))
	}
	n := decimal(rest)
	end := i + n
	for end < len(x.text) && x.text[end] == ' ' {
		end++
	}
	word := string(x.text[end:x.wordEnd(end)])
	if n == 0 || i+n < len(x.text) && strings.ContainsRune("._0123456789", x.text[i+n]) || word != "" && '0' <= word[0] && word[0] <= '9' {
		return i, flawed(i, "%s is not a plain decimal number", quote(strings.Fields(rest)[0]))
	}
	m := &numbers
	if word != "" {
		end = x.wordEnd(end)
		of := unitOf(word)
		k := slices.IndexFunc(measures, func(m *measure) bool { return m.name == of })
		if k < 0 {
			return i, unknownUnit(i, rest[:n], word)
		}
		m = measures[k]
	} else {
		end = i + n
	}
	v, err := m.evaluate(string(x.text[i:end]), 1)
	if err != nil {
		return i, flawed(i, "%s", err)
	}
	x.keep(quantity{v: v, dims: m.dims(), free: m == &numbers}, i)
	return end, nil
}

// measures are those whose units an expression takes.
var measures = []*measure{&lengths, &angles, &temps}

// unitOf returns the name of the measure that has a unit, "" for an unknown one.
func unitOf(word string) string {
	for _, m := range measures {
		for _, u := range m.units {
			if u.name == word {
				return m.name
			}
		}
	}
	return ""
}

// unknownUnit says what to write for a number in a unit that is not taken.
func unknownUnit(at int, number, word string) *flaw {
	for _, m := range measures {
		if w := m.convert(number, word); w != "" {
			return flawed(at, "unit %s is not taken for %s; write %s", quote(word), m.name, w)
		}
	}
	return flawed(at, "%s after a number is no unit, and * is missing where it is a name; mm, in, deg, degC", quote(word))
}
