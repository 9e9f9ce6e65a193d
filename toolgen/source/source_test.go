package source_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/source"
)

func TestMarkWords(t *testing.T) {
	for _, c := range []struct {
		mark source.Mark
		word string
		firm bool
	}{
		{source.A, "society, university or standard", true},
		{source.B, "supplier or shop guide", true},
		{source.C, "secondary table", false},
		{source.D, "derived", true},
		{source.M, "unverified", false},
		{source.P, "common practice, no source", false},
		{'x', `unknown mark 'x'`, false},
		{0, `unknown mark '\x00'`, false},
	} {
		require.Equal(t, c.word, c.mark.String())
		require.Equal(t, c.firm, c.mark.Firm(), c.word)
	}
}

func TestWeakerRanksFirmMarksFirst(t *testing.T) {
	marks := []source.Mark{source.A, source.D, source.B, source.C, source.M, source.P, 'x'}
	for i, a := range marks {
		for j, b := range marks {
			require.Equal(t, marks[max(i, j)], source.Weaker(a, b), "%c with %c", a, b)
		}
	}
}

func TestCite(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{source.Of(3, source.A, "ISO 273").String(), "3 (ISO 273)"},
		{source.Of(3.5, source.C, "ISO 273").Cite(), "ISO 273 (secondary table)"},
		{source.Memory(1).Cite(), "unverified"},
		{source.Of(1, source.M, "base resin").Cite(), "unverified; base resin"},
		{source.Practice(1).Cite(), "common practice, no source"},
		{source.Of(1, source.P, "base resin").Cite(), "common practice, no source; base resin"},
		{source.Derived(2, "twice one").Cite(), "derived: twice one"},
		{source.MemoryRange(1, 2).String(), "1 to 2 (unverified)"},
		{source.PracticeRange(2, 2).String(), "2 (common practice, no source)"},
		{source.PracticeSay("keep wrapped").Cite(), "common practice, no source"},
		{source.MemorySay("keep wrapped").Cite(), "unverified"},
		{source.Say("keep dry", source.B, "guide").Cite(), "guide"},
	} {
		require.Equal(t, c.want, c.got)
	}
}

func TestRange(t *testing.T) {
	r := source.Between(100, 160, source.B, "guide")
	require.Equal(t, source.Of(130, source.B, "guide"), r.Mid())
	require.True(t, r.Holds(100))
	require.True(t, r.Holds(160))
	require.False(t, r.Holds(99.9))
	require.False(t, r.Holds(160.1))
}

func TestMarkTravelsAsALetter(t *testing.T) {
	b, err := json.Marshal(source.Memory(1.5))
	require.NoError(t, err)
	require.JSONEq(t, `{"value":1.5,"mark":"M","source":"from memory"}`, string(b))
	var v source.Value
	require.NoError(t, json.Unmarshal(b, &v))
	require.Equal(t, source.Memory(1.5), v)
	require.ErrorContains(t, json.Unmarshal([]byte(`{"mark":"X"}`), &v), "allowed A, B, C, D, M, P")
	_, err = json.Marshal(source.Value{})
	require.ErrorContains(t, err, "unknown mark")
}
