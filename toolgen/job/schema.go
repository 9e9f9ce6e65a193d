package job

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"platen/toolgen/geom"
)

// Schema returns the grammar as a JSON Schema (draft-07) for editors, built from the same
// declarations Read uses. Kinds of features are told apart by if and then on the key kind, so that
// an editor names the one key at fault.
//
// It can not know what reaches over several keys. Limits of lengths hold for a bare number in
// either unit, hence are wider than those of Read; a length written with a unit is held to its form
// only. The same input gives the same bytes.
func Schema(kinds []Kind, names Names) ([]byte, error) {
	var w schema
	for i := range kinds {
		w.kinds = append(w.kinds, kinds[i].Name)
	}
	root := object{
		{"$schema", "http://json-schema.org/draft-07/schema#"},
		{"title", "forming tool job"},
		{"description", "Lengths are in the job's units or carry their own: 12, 12 mm, 0.5 in."},
	}
	root = append(root, w.mapping(sections(names))...)
	root = append(root, member{"definitions", w.definitions(kinds)})
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(root); err != nil {
		return nil, fmt.Errorf("schema: %w", err)
	}
	return b.Bytes(), nil
}

// object is a JSON object that keeps the order of its members.
type object []member

type member struct {
	key   string
	value any
}

// MarshalJSON writes the members in order.
func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		if err := e.Encode(m.key); err != nil {
			return nil, err
		}
		b.WriteByte(':')
		if err := e.Encode(m.value); err != nil {
			return nil, err
		}
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

type schema struct{ kinds []string }

// mapping describes an object with exactly the given keys.
func (w *schema) mapping(params []Param) object {
	props := make(object, 0, len(params))
	var required []string
	for i := range params {
		props = append(props, member{params[i].Key, w.key(&params[i])})
		if params[i].Required {
			required = append(required, params[i].Key)
		}
	}
	o := object{{"type", "object"}, {"properties", props}, {"additionalProperties", false}}
	if required != nil {
		o = append(o, member{"required", required})
	}
	return o
}

// key describes the value of one key, with its text for the bench.
func (w *schema) key(p *Param) object {
	o := object{{"description", p.Describe()}}
	if d, ok := p.plainDefault(); ok {
		o = append(o, member{"default", d})
	}
	return append(o, w.value(p)...)
}

// value describes what a key takes.
func (w *schema) value(p *Param) object {
	switch p.Type {
	case Length:
		return p.measured(&lengths)
	case Angle:
		return p.measured(&angles)
	case Temperature:
		return p.measured(&temps)
	case Number:
		return orExpression(append(object{{"type", "number"}}, p.within(1)...))
	case Count:
		return orExpression(append(object{{"type", "integer"}}, p.within(1)...))
	case Text:
		return freeText()
	case Choice:
		if len(p.Choices) == 0 {
			return freeText()
		}
		return object{{"enum", p.Choices}}
	case Flag:
		return object{{"type", "boolean"}}
	case Point:
		return pair(p.measured(&lengths))
	case Points:
		o := object{{"type", "array"}, {"items", pair(p.measured(&lengths))}}
		if p.least > 0 {
			o = append(o, member{"minItems", p.least})
		}
		return o
	case Lengths:
		return object{{"type", "array"}, {"items", p.measured(&lengths)}}
	case Texts:
		return object{{"type", "array"}, {"items", freeText()}}
	case Grid:
		return pair(orExpression(append(object{{"type", "integer"}}, p.within(1)...)))
	case namedValues:
		return namedSchema()
	case Outline:
		return object{{"allOf", []object{{{"$ref", "#/definitions/outline"}}}}}
	case Group:
		return append(w.mapping(p.Params), p.also...)
	case Groups:
		return object{{"type", "array"}, {"items", w.mapping(p.Params)}}
	case items:
		return object{{"type", "array"}, {"items", object{{"$ref", "#/definitions/feature"}}}}
	}
	panic(fmt.Sprintf("job: no schema for a %s", p.Type))
}

func freeText() object {
	return object{{"type", []string{"string", "number", "boolean"}}, {"minLength", 1}, {"maxLength", mostText}}
}

func pair(of object) object {
	return object{{"type", "array"}, {"items", of}, {"minItems", 2}, {"maxItems", 2}}
}

// measured describes a number, or text of a number with its unit.
func (p *Param) measured(m *measure) object {
	var units []string
	for _, u := range m.units {
		units = append(units, regexp.QuoteMeta(u.name))
	}
	number := object{{"type", "number"}}
	if lo, hi := p.bounded(); m == &lengths {
		number = append(number, p.within(inch)...)
		if !lo {
			number = append(number, member{"minimum", -float64(mostLength)})
		}
		if !hi {
			number = append(number, member{"maximum", float64(mostLength)})
		}
	} else {
		number = append(number, p.within(1)...)
	}
	text := object{
		{"type", "string"},
		{"pattern", `^[-+]?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][-+]?[0-9]+)? *(` + strings.Join(units, "|") + `)$`},
	}
	return object{{"anyOf", []object{number, text, expressionText()}}}
}

// within returns the limits that hold for a bare number in the base unit or in one large of it.
func (p *Param) within(large float64) object {
	lo, hi := p.bounded()
	var o object
	if lo {
		o = append(o, member{"minimum", min(p.Min, p.Min/large)})
	}
	if hi {
		o = append(o, member{"maximum", max(p.Max, p.Max/large)})
	}
	return o
}

// plainDefault returns the default as a value of JSON in the base unit.
func (p *Param) plainDefault() (any, bool) {
	switch d := p.data().(type) {
	case nil:
		return nil, false
	case geom.Vec2:
		return []float64{d.X, d.Y}, true
	case []geom.Vec2:
		out := make([][2]float64, len(d))
		for i, v := range d {
			out[i] = [2]float64{v.X, v.Y}
		}
		return out, true
	default:
		return d, true
	}
}

// Describe returns the text of a key with its unit, range, default and source, in one line.
func (p *Param) Describe() string {
	var parts []string
	if l := p.limits(); l != "" {
		parts = append(parts, l)
	} else if u := p.unit(); u != "" && p.Type != Outline {
		parts = append(parts, "in"+u)
	}
	switch d := p.data().(type) {
	case nil:
	case float64:
		parts = append(parts, "default "+short(d)+p.unit())
	case geom.Vec2:
		parts = append(parts, fmt.Sprintf("default [%s, %s]", short(d.X), short(d.Y)))
	default:
		parts = append(parts, fmt.Sprintf("default %v", d))
	}
	if p.From != "" {
		parts = append(parts, "or defaults."+p.From+" where that is given")
	}
	if p.Source != "" {
		parts = append(parts, "source: "+p.Source)
	}
	if len(parts) == 0 {
		return p.Text
	}
	return p.Text + " (" + strings.Join(parts, "; ") + ")"
}

// definitions describes outlines, any feature, and the features of each kind.
func (w *schema) definitions(kinds []Kind) object {
	kind := object{{"description", "kind of feature"}, {"enum", w.kinds}}
	var cases []object
	defs := object{{"outline", w.outline()}}
	var each object
	for i := range kinds {
		k := &kinds[i]
		ref := "feature_" + k.Name
		cases = append(cases, object{
			{"if", object{{"properties", object{{"kind", object{{"const", k.Name}}}}}, {"required", []string{"kind"}}}},
			{"then", object{{"$ref", "#/definitions/" + ref}}},
		})
		params := slices.Concat(frameKeys(w.kinds), k.Params)
		o := object{{"description", k.Text}}
		each = append(each, member{ref, append(o, w.mapping(params)...)})
	}
	feature := object{{"type", "object"}, {"properties", object{{"kind", kind}}}, {"required", []string{"kind"}}}
	if cases != nil {
		feature = append(feature, member{"allOf", cases})
	}
	defs = append(defs, member{"feature", feature})
	return append(defs, each...)
}

// outline describes a plan shape: one of the shapes, corner with those that have corners, the keys of a
// drawing with a drawing.
func (w *schema) outline() object {
	o := w.mapping(shapeKeys)
	var one []object
	for _, k := range shapeKeys[:shapes] {
		one = append(one, object{{"required", []string{k.Key}}})
	}
	no := func(key string) object {
		return object{{"not", object{{"required", []string{"corner", key}}}}}
	}
	drawn := object{{"anyOf", one[shapes-2:]}}
	return append(o, member{"oneOf", one}, member{"allOf", []object{no("circle"), no("slot")}},
		member{"dependencies", object{{"layer", drawn}, {"unit", drawn}, {"centre", drawn}}})
}
