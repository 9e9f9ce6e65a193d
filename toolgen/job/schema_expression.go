package job

import (
	"regexp"
	"strings"
)

// expressionText describes the text of an expression: its words and their order, not what the names stand for
// nor whether its brackets close.
func expressionText() object {
	return object{{"type", "string"}, {"pattern", expressionPattern()}, {"maxLength", mostExpression}}
}

// orExpression describes a number or an expression in its place.
func orExpression(number object) object {
	return object{{"anyOf", []object{number, expressionText()}}}
}

// namedSchema describes the section values.
func namedSchema() object {
	number := object{{"anyOf", []object{
		{{"type", "number"}},
		{{"type", "string"}, {"pattern", "^" + decimalPattern + " *(" + unitPattern() + ")$"}},
		expressionText(),
	}}}
	return object{
		{"type", "object"}, {"maxProperties", mostNames},
		{"patternProperties", object{{"^[a-z][a-z0-9_]{0,39}$", number}}}, {"additionalProperties", false},
	}
}

const decimalPattern = `[-+]?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][-+]?[0-9]+)?`

// unitPattern matches every unit of an expression.
func unitPattern() string {
	var units []string
	for _, m := range measures {
		for _, u := range m.units {
			units = append(units, regexp.QuoteMeta(u.name))
		}
	}
	return strings.Join(units, "|")
}

// expressionPattern matches what has an operator, a bracket or a name.
func expressionPattern() string {
	name := `[a-z][a-z0-9_]*`
	operand := `((0|[1-9][0-9]*)(\.[0-9]+)?([eE][-+]?[0-9]+)?( *(` + unitPattern() + `))?|` + name + `)`
	before := `([-+( ]|` + name + ` *\()*`
	item := before + operand + `[) ]*`
	list := item + `([-+*/^,]` + item + `)`
	opened := `[-+ ]*(` + name + ` *)?\(` + item
	return `^(` + list + `+|` + opened + `|[-+ ]*` + name + ` *)$`
}
