package features_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"platen/features"
	"platen/toolgen/part/parttest"
)

func TestKinds(t *testing.T) {
	for _, k := range features.All() {
		t.Run(k.Name, func(t *testing.T) { parttest.Kind(t, k, features.All()...) })
	}
}

// FuzzParameters gives two keys of a kind any text: nothing panics, every refusal has its place.
func FuzzParameters(f *testing.F) {
	for i, k := range features.All() {
		for j := range k.Params {
			for _, v := range []string{"0", "1e9", "-3", "0.5 in", "[1, 2]", "{circle: 30}", "floor", "no", "'"} {
				f.Add(uint8(i), uint8(j), v, uint8(j+1), "12")
			}
		}
	}
	f.Fuzz(func(t *testing.T, kind, key uint8, value string, key2 uint8, value2 string) {
		all := features.All()
		k := all[int(kind)%len(all)]
		if strings.ContainsAny(value+value2, "\n\r\u0085\u2028\u2029") || len(value)+len(value2) > 200 {
			t.Skip("a value is one line")
		}
		text := parttest.Set(k.Example, k.Name, k.Params[int(key)%len(k.Params)].Key, value)
		text = parttest.Set(text, k.Name, k.Params[int(key2)%len(k.Params)].Key, value2)
		text = parttest.Head(500) + parttest.Entry(text)
		_, err := parttest.Make(text, all)
		if err != nil {
			require.NoError(t, parttest.Unplaced(err, text), text)
		}
	})
}
