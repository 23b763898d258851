package safety

import (
	"fmt"

	"voltwright/internal/finding"
)

// childAge asks whether a rider is too young for a powered ride-on.
var childAge = &rule{each: eachVersion, judge: judgeChildAge, doc: finding.Doc{
	Name: "child-age", Signal: finding.SignalWarning,
	Title:   "A rider who is very young",
	What:    "Holds the age of the youngest rider against three years.",
	Why:     "A child under three neither steers nor brakes nor keeps its hands in. The standards for powered ride-on toys speak of children from three years on.",
	Needs:   "`rider` and, for a child, `age`",
	Source:  "EN 71-1:2005+A8:2009 speaks of electric toys for children over three (second-hand). As a limit for vehicles that are no toys: own choice, no source.",
	Example: "  use: {as: railway, rider: child, age: 7}",
}}

// youngest is the least age, years.
const youngest = 3

func judgeChildAge(s *subject) []verdict {
	child, stated := s.child()
	if !stated {
		return cannotRider(s, aboutRiders, "rider")
	}
	if !child {
		return nil
	}
	age := s.version.Use.Age
	if !age.Set {
		return cannotRider(s, "whether the rider is old enough", "age")
	}
	if age.Value >= youngest {
		return nil
	}
	g := &finding.Gauge{What: "age of the youngest rider", Value: float64(age.Value), Limit: youngest, Written: years(age.Value), Bound: years(youngest), Least: true}
	return said(verdict{signal: finding.SignalWarning, at: age.Span, gauge: g,
		text:   fmt.Sprintf("the youngest rider is %s old: a child under three can neither steer nor stop, nor keep hands and feet in", years(age.Value)),
		remedy: "let a grown person ride with the child held, at walking pace, with another beside the stop; or wait."})
}

func years(n int) string {
	if n == 1 {
		return "1 year"
	}
	return fmt.Sprintf("%d years", n)
}
