package job_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"platen/toolgen/job"
)

// compiled returns the schema of the test kinds, read by an independent validator.
func compiled(t testing.TB) *jsonschema.Schema {
	t.Helper()
	b, err := job.Schema(kinds(), names)
	require.NoError(t, err)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(b))
	require.NoError(t, err)
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft4) // a draft without if and then: "$schema" has to say draft-07
	require.NoError(t, c.AddResource("job.json", doc))
	s, err := c.Compile("job.json")
	require.NoError(t, err)
	require.Equal(t, 7, s.DraftVersion)
	return s
}

// asEditor turns YAML into what a validator sees: JSON values by YAML's own types.
func asEditor(text string) (any, error) {
	var v any
	if err := yaml.Unmarshal([]byte(text), &v); err != nil {
		return nil, err
	}
	b, err := json.Marshal(v)
	if err != nil {
		return nil, err
	}
	return jsonschema.UnmarshalJSON(bytes.NewReader(b))
}

func TestSchemaIsDeterministic(t *testing.T) {
	a, err := job.Schema(kinds(), names)
	require.NoError(t, err)
	for range 5 {
		b, err := job.Schema(kinds(), names)
		require.NoError(t, err)
		require.Equal(t, string(a), string(b))
	}
	require.Contains(t, string(a), `"description": "depth below the land (0.5 to 400 mm)"`)
	require.Contains(t, string(a), `draft of the wall (0 to 45 deg; default 3 deg; or defaults.draft where that is given)`)
}

func TestSchemaTakesWhatReadTakes(t *testing.T) {
	s := compiled(t)
	for name, text := range goodJobs() {
		t.Run(name, func(t *testing.T) {
			_, err := job.Read([]byte(text), "job.yaml", kinds(), names)
			require.NoError(t, err)
			v, err := asEditor(text)
			require.NoError(t, err)
			require.NoError(t, s.Validate(v))
		})
	}
}

// across are the faults the schema can not see: what one key asks of another, and limits of a
// length, which it does not know the unit of.
var across = map[string]*regexp.Regexp{
	"names":       regexp.MustCompile(`no feature is named|is taken, on line|no value is named|no value has that name`),
	"expressions": regexp.MustCompile(`in a circle|can not name a value|is taken: it is|" is (a|an|one) [a-z ]+, not a|do not go together|\) is not a whole number|comes to|it takes a|to the power|takes names and numbers`),
	"finish":      regexp.MustCompile(`goes with a finish|says how deep`),
	"other keys":  regexp.MustCompile(`over half the shorter side|off: true|lays one place on|lies on place`),
	"length unit": regexp.MustCompile(`(mm|in|inch|\)|^) is (out of range|longer than 10 m)|finer than`),
}

// TestSchemaAgreesWithRead changes one thing at a time in every good job. What the schema refuses
// Read refuses too; what Read refuses the schema does, but for the faults listed above.
func TestSchemaAgreesWithRead(t *testing.T) {
	s := compiled(t)
	total, both, taken := 0, 0, 0
	apart := map[string]int{}
	for name, text := range goodJobs() {
		for _, m := range mutations(t, text) {
			_, err := job.Read([]byte(m.text), "job.yaml", kinds(), names)
			v, verr := asEditor(m.text)
			if verr == nil {
				verr = s.Validate(v)
			}
			total++
			switch {
			case err == nil && verr == nil:
				taken++
			case err != nil && verr != nil:
				both++
			case err != nil && unseen(err) != "":
				apart[unseen(err)]++
			default:
				t.Errorf("%s, %s at %s:\nRead: %v\nschema: %v", name, m.change, m.at, err, verr)
			}
		}
	}
	require.Greater(t, both, 1000)
	require.Greater(t, taken, 40)
	t.Logf("%d changes: %d refused by both, %d taken by both, refused by Read alone: %v", total, both, taken, apart)
}

// unseen returns why the schema can not see any of the faults, "" where it could see one.
func unseen(err error) (why string) {
	for _, f := range err.(*job.Refusal).Faults {
		one := ""
		for k, re := range across {
			if re.MatchString(f.Text) {
				one = k
			}
		}
		if one == "" {
			return ""
		}
		why = one
	}
	return why
}

type mutation struct{ change, at, text string }

// mutations returns the job changed in one key or value at a time.
func mutations(t *testing.T, text string) []mutation {
	var out []mutation
	try := func(change string, n *yaml.Node, do func()) {
		keep := *n
		keep.Content = append([]*yaml.Node(nil), n.Content...)
		var root *yaml.Node
		do()
		root = current
		b, err := yaml.Marshal(root)
		require.NoError(t, err)
		out = append(out, mutation{change, fmt.Sprintf("line %d", n.Line), string(b)})
		*n = keep
	}
	var doc yaml.Node
	require.NoError(t, yaml.Unmarshal([]byte(text), &doc))
	current = &doc
	var walk func(n *yaml.Node)
	walk = func(n *yaml.Node) {
		switch n.Kind {
		case yaml.MappingNode:
			for i := 0; i < len(n.Content); i += 2 {
				try("key misspelt", n.Content[i], func() { n.Content[i].Value += "_x" })
				try("key dropped", n, func() { n.Content = append(n.Content[:i:i], n.Content[i+2:]...) })
				try("value emptied", n.Content[i+1], func() { *n.Content[i+1] = yaml.Node{Kind: yaml.ScalarNode, Tag: "!!null"} })
			}
			try("key added", n, func() {
				n.Content = append(n.Content[:len(n.Content):len(n.Content)], word("surplus"), word("1"))
			})
		case yaml.SequenceNode:
			try("list for a value", n, func() { *n = *word("loose") })
			try("entry added", n, func() {
				n.Content = append(n.Content[:len(n.Content):len(n.Content)], &yaml.Node{Kind: yaml.MappingNode})
			})
		case yaml.ScalarNode:
			for _, v := range []string{"loose words", "true", "-1e9", "1e12", "3 furlong", "0.5"} {
				try("value "+v, n, func() { n.Value, n.Tag, n.Style = v, "", 0 })
			}
			try("value to list", n, func() {
				*n = yaml.Node{Kind: yaml.SequenceNode, Content: []*yaml.Node{word("1")}}
			})
			try("value to keys", n, func() {
				*n = yaml.Node{Kind: yaml.MappingNode, Content: []*yaml.Node{word("a"), word("1")}}
			})
		}
		for i, c := range n.Content {
			if n.Kind != yaml.MappingNode || i%2 == 1 {
				walk(c)
			}
		}
	}
	walk(&doc)
	return out
}

// current is the document mutations works on.
var current *yaml.Node

func word(s string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Value: s} }
