package job

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
)

// Caps on one expression: longer ones are named values of their own.
const (
	mostExpression = 200 // characters
	mostNodes      = 200 // numbers, names and operators
)

// flaw is what is wrong with an expression, and where in it.
type flaw struct {
	at     int // characters before it
	text   string
	names  meant
	silent bool // it was said where it is at home
}

func (f *flaw) Error() string { return f.text }

func flawed(at int, format string, args ...any) *flaw {
	return &flaw{at: at, text: fmt.Sprintf(format, args...)}
}

// scope of an expression: what names stand for.
type lookup func(name string) (quantity, *flaw)

// expression is a text taken apart. The tree is that of the expression library, of which only numbers, names,
// + - * / ^, brackets and calls get through: the scanner hands it placeholders for every number and name, so
// that numbers are read here alone and no word of the library's language means anything.
type expression struct {
	text     []rune
	bare     float64
	names    lookup
	operands []quantity
	safe     strings.Builder // what the library parses
	from     []int           // character of text, by byte of safe
}

// isExpression reports whether a text that is no number is meant to be reckoned: it has a name, a bracket or
// an operator where a number would not.
func isExpression(text string) bool {
	s := strings.TrimLeft(strings.TrimSpace(text), "+- (")
	if bracketed := strings.TrimLeft(strings.TrimSpace(text), "+- "); strings.HasPrefix(bracketed, "(") && s != "" {
		return true
	}
	if s == "" {
		return false
	}
	if letter(rune(s[0])) {
		switch strings.ToLower(s) {
		case "nan", "inf", "infinity":
			return false
		}
		return true
	}
	n := decimal(s)
	if n == 0 || isDate(s) {
		return false
	}
	s = strings.TrimLeft(s[n:], " ")
	s = strings.TrimLeft(strings.TrimLeft(s, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_"), " ")
	return s != "" && strings.ContainsRune("+-*/^()<>=?&|!", rune(s[0]))
}

// isDate reports whether a text is digits parted by hyphens as no subtraction is written: 2026-01-05.
func isDate(s string) bool {
	odd := false
	for _, d := range strings.Split(s, "-") {
		if digits(d) != len(d) {
			return false
		}
		odd = odd || decimal(d) != len(d)
	}
	return odd
}

// reckon evaluates an expression.
func reckon(text string, bare float64, names lookup) (quantity, *flaw) {
	x := &expression{text: []rune(text), bare: bare, names: names}
	if n := len(x.text); n > mostExpression {
		return quantity{}, flawed(mostExpression, "an expression of %d characters; at most %d, name its parts in values", n, mostExpression)
	}
	if f := x.scan(); f != nil {
		return quantity{}, f
	}
	c := conf.CreateNew()
	c.MaxNodes = mostNodes
	clear(c.Builtins)
	tree, err := parser.ParseWithConfig(x.safe.String(), c)
	if err != nil {
		return quantity{}, x.reword(err)
	}
	return x.walk(tree.Node)
}

// reword says what the library's parser refuses, at its place in the text.
func (x *expression) reword(err error) *flaw {
	var at *file.Error
	if !errors.As(err, &at) || at.From >= len(x.from) || strings.Contains(at.Message, "EOF") {
		return flawed(len(x.text), "the expression ends where a number or a name is missing")
	}
	if strings.Contains(at.Message, "maximum allowed nodes") {
		return flawed(x.from[at.From], "an expression of more than %d numbers, names and operators; name its parts in values", mostNodes)
	}
	i := x.from[at.From]
	return flawed(i, "%s has no place here in the expression", quote(string(x.text[i])))
}

// walk evaluates a tree. Its depth is that of the text, which is capped.
func (x *expression) walk(n ast.Node) (quantity, *flaw) {
	at := 0
	if n != nil {
		if i := n.Location().From; i < len(x.from) {
			at = x.from[i]
		}
	}
	var q quantity
	var err error
	switch n := n.(type) {
	case *ast.IdentifierNode:
		i := 0
		if _, e := fmt.Sscanf(n.Value, "_%d", &i); e != nil || i < 0 || i >= len(x.operands) {
			return q, flawed(at, "%s is a function; it takes arguments in brackets", quote(strings.TrimPrefix(n.Value, "f_")))
		}
		q = x.operands[i]
	case *ast.UnaryNode:
		v, f := x.walk(n.Node)
		if f != nil {
			return v, f
		}
		if q = v; n.Operator == "-" {
			q.v = -q.v
		}
	case *ast.BinaryNode:
		a, f := x.walk(n.Left)
		if f != nil {
			return a, f
		}
		b, f := x.walk(n.Right)
		if f != nil {
			return b, f
		}
		q, err = x.binary(n.Operator, a, b)
	case *ast.CallNode:
		return x.call(n, at)
	default:
		return q, flawed(at, "this is no arithmetic; numbers, names, + - * / ^, brackets and functions")
	}
	if err != nil {
		return q, flawed(at, "%s", err)
	}
	return q, x.sane(q, at)
}

// sane refuses what no number of a job can be.
func (x *expression) sane(q quantity, at int) *flaw {
	if math.IsNaN(q.v) || math.Abs(q.v) > mostValue {
		return flawed(at, "this comes to %s; numbers to %s", short(q.v), short(mostValue))
	}
	return nil
}

func (x *expression) binary(op string, a, b quantity) (quantity, error) {
	switch op {
	case "+", "-":
		p, q, err := alike(a, b, x.bare)
		if err != nil {
			return a, err
		}
		if op == "-" {
			q.v = -q.v
		}
		p.v += q.v
		return p, nil
	case "*":
		return a.times(b, 1), nil
	case "/":
		if b.v == 0 {
			return a, errors.New("division by zero")
		}
		return a.times(b, -1), nil
	case "^":
		return a.raised(b)
	}
	return a, fmt.Errorf("no operator %s; + - * / ^", quote(op))
}

func (x *expression) call(n *ast.CallNode, at int) (quantity, *flaw) {
	id, ok := n.Callee.(*ast.IdentifierNode)
	if !ok || !strings.HasPrefix(id.Value, "f_") {
		return quantity{}, flawed(at, "only a function takes arguments; write * to multiply")
	}
	name := strings.TrimPrefix(id.Value, "f_")
	f := functions[name]
	if got := len(n.Arguments); got < f.least || got > f.most {
		want := fmt.Sprint(f.least)
		if f.most > f.least {
			want = fmt.Sprintf("%d to %d", f.least, f.most)
		}
		return quantity{}, flawed(at, "%s takes %s numbers, not %d", name, want, got)
	}
	var args []quantity
	for _, a := range n.Arguments {
		q, f := x.walk(a)
		if f != nil {
			return q, f
		}
		args = append(args, q)
	}
	q, err := f.call(args, x.bare)
	if err != nil {
		return q, flawed(at, "%s: %s", name, err)
	}
	return q, x.sane(q, at)
}
