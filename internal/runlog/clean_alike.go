package runlog

import (
	"fmt"
	"io"
	"slices"

	"voltwright/internal/finding"
)

// ReadsAlike says whether two logs begin alike: with the same columns read for the same things in the same units and signs, the
// same times and the same first row.
func ReadsAlike(a, b io.Reader, o Options) (bool, error) {
	x, err := bearings(a, o)
	if err != nil {
		return false, err
	}
	y, err := bearings(b, o)
	return slices.Equal(x, y), err
}

// bearings are what the reader has found out when it begins to read.
func bearings(r io.Reader, o Options) ([]string, error) {
	s, err := NewScanner(finding.NewStream("log"), r, o)
	if err != nil {
		return nil, err
	}
	out := []string{fmt.Sprint(s.usable, s.separator, s.decimal, s.dialect.FirstData, s.step, s.flip, s.turn, s.joined, s.inStep, s.dialect.SignFrom, s.spread.unit)}
	for _, x := range s.times {
		out = append(out, fmt.Sprint(x.form, x.fields, x.either))
	}
	for _, c := range s.columns {
		if c.channel != ByPosition {
			out = append(out, fmt.Sprint(c.channel, c.index, c.role, c.slot, c.unit.Symbol()))
		}
	}
	return out, nil
}
