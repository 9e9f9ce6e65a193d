package job_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
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
	require.Equal(t, 2019-12, s.DraftVersion+0*7)
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

var _ = fmt.Sprint
var _ = strings.Repeat
