package shop_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"platen/toolgen/shop"
)

func TestMachineSaysWhatItIs(t *testing.T) {
	m := shop.DefaultMachine()
	require.Equal(t, "tank 100 l at 85 kPa below the air, hose 25 mm bore and 2 m long, pump 40 m3/h, box 20 mm high (built-in default, unverified)", m.String())
	m.Default, m.HoseBore = false, 25.4
	require.Equal(t, "tank 100 l at 85 kPa below the air, hose 25.4 mm bore and 2 m long, pump 40 m3/h, box 20 mm high", m.String())
}
