package job_test

import (
	"errors"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"platen/toolgen/job"
)

// FuzzRead holds what Read promises of any bytes: no panic, a job or a refusal, every fault at a
// place inside the file, sorted, with a caret under the character named.
func FuzzRead(f *testing.F) {
	for _, text := range goodJobs() {
		f.Add([]byte(text))
		f.Add([]byte(strings.ReplaceAll(text, "\n", "\r\n")))
	}
	for _, text := range hostile() {
		if len(text) < 4096 {
			f.Add([]byte(text))
		}
	}
	for _, s := range []string{"", "\xef\xbb\xbfformat: 1", "a: \t b", "? [", "- - -\n -", "%YAML 1.2\n---\n...", "a: \"\\x\"", "\xff\xfea\x00", "{a: [*b, &c"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		j, err := job.Read(data, "f.yaml", kinds(), names)
		if err == nil {
			require.NotNil(t, j.Sheet)
			require.NotEmpty(t, j.Name)
			return
		}
		require.Nil(t, j)
		var ref *job.Refusal
		require.True(t, errors.As(err, &ref), "%T", err)
		require.NotEmpty(t, ref.Faults)
		require.LessOrEqual(t, len(ref.Faults), 50)
		lines := strings.Split(strings.TrimPrefix(string(data), "\ufeff"), "\n")
		line, col := 0, 0
		for _, f := range ref.Faults {
			p := f.Pos
			require.True(t, p.Line > line || p.Line == line && p.Col >= col, "sorted: %v", err)
			line, col = p.Line, p.Col
			require.True(t, 1 <= line && line <= len(lines), "line %d of %d", line, len(lines))
			require.True(t, 1 <= col && col <= utf8.RuneCountInString(lines[line-1])+1, "column %d of %q", col, lines[line-1])
			require.NotContains(t, f.Text, "yaml:")
			require.False(t, strings.ContainsAny(f.String(), "\x00\x07\x1b\r"))
			underCaret(t, f, lines[line-1])
		}
	})
}

// underCaret checks that the caret of the excerpt stands below the character of the place.
func underCaret(t *testing.T, f job.Fault, line string) {
	t.Helper()
	text, caret, ok := strings.Cut(f.Excerpt, "\n")
	require.True(t, ok)
	at := strings.IndexByte(caret, '^')
	want, got := []rune(strings.ToValidUTF8(line, "\uFFFD")), []rune(text)
	if f.Pos.Col > len(want) || !unicode.IsPrint(want[f.Pos.Col-1]) || want[f.Pos.Col-1] == ' ' || !utf8.ValidString(line) || at >= len(got) {
		return // behind the end of the line, not printable, or shown as ?
	}
	require.Equal(t, string(want[f.Pos.Col-1]), string(got[at]), "%s", f.String())
}
