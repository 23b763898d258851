package app

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/proof"
	"voltwright/internal/site/address"
)

// gain is what one more run would bring the version that stands for a vehicle.
type gain struct {
	Version, Name, Words, Page string
	Left                       float64 // of the interval, after the run
}

// gains are those that are worth telling, the greatest first. It is no finding: nothing is amiss without the run.
func gains(in *inspected) (all []gain) {
	compute := func() error {
		all = nil
		for _, vehicle := range in.journal.Vehicles {
			v := vehicle.Standing()
			if v == nil {
				continue
			}
			a := in.results.Prediction(v.Path())
			if a == nil || a.Err != "" {
				continue
			}
			if words := a.Sensitivity.OneMoreRun(); words != "" {
				all = append(all, gain{v.Path(), fmt.Sprintf("%s, version %d", cmp.Or(vehicle.Name.Text, vehicle.Slug), v.Number), words, address.Version(v), float64(a.Sensitivity.Next.After / a.Sensitivity.Next.Now)})
			}
		}
		slices.SortStableFunc(all, func(a, b gain) int { return cmp.Compare(a.Left, b.Left) })
		return nil
	}
	if rests, ok := in.study.Rests(); ok && in.study.Keeps() && in.results.Answered() {
		_ = in.study.Keep("one more run", &all, compute, rests[:]) // compute has no error
		return all
	}
	_ = compute()
	return all
}

// oneMoreRun lists them, a line each; briefly the greatest alone.
func oneMoreRun(in *inspected, brief bool) string {
	all := gains(in)
	if brief {
		all = all[:min(1, len(all))]
	}
	var b strings.Builder
	for _, g := range all {
		fmt.Fprintf(&b, "To be surer, %s: %s.\n", g.Version, g.Words)
	}
	return b.String()
}

// openGains are the same for a trial print.
func openGains(in *inspected) (out []proof.Saying) {
	for _, g := range gains(in) {
		out = append(out, proof.Saying{Subject: g.Name, Text: g.Words, Page: g.Page})
	}
	return out
}
