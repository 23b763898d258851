package safety

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/wiring"
)

// wired is the version's wiring as it was computed; nil where none is stated, and
// where it is written wrong, which is an error of its own.
func (s *subject) wired() *wiring.Analysis {
	w := s.results.Circuit(s.version.Path())
	if w == nil || len(w.Faults) > 0 {
		return nil
	}
	return w
}

// A wiringRule makes callouts of what package circuit says does not hold under
// some of its rules. It speaks once for a version: of the worst in its sentence,
// of the others beside it.
type wiringRule struct {
	of       []circuit.Rule
	question string                        // what cannot be judged, where one cannot
	what     string                        // the number, for the gauge; "" where there is none
	least    bool                          // the limit is the least that may be
	skip     func(*failing) bool           // another rule speaks of it; nil: of none
	signal   func(*failing) finding.Signal // how serious one is
	text     func(*failing) string         // the sentence about the worst
	remedy   func(*failing) string         // what to do first
}

// failing is a verdict of the circuit that does not hold.
type failing struct {
	*circuit.Verdict
	s *subject
	c *circuit.Circuit
	r *wiringRule
}

// judge is the rule as the engine asks it.
func (r wiringRule) judge(s *subject) []verdict {
	w := s.wired()
	if w == nil {
		return nil
	}
	var fails []*failing
	var reasons []string
	var first *failing
	for i := range w.Verdicts {
		f := &failing{&w.Verdicts[i], s, w.Circuit, &r}
		switch {
		case !slices.Contains(r.of, f.Rule) || f.OK || r.skip != nil && r.skip(f):
		case f.CannotJudge == "":
			fails = append(fails, f)
		case first == nil:
			first = f
			fallthrough
		default:
			if !slices.Contains(reasons, f.CannotJudge) {
				reasons = append(reasons, f.CannotJudge)
			}
		}
	}
	var out []verdict
	if len(fails) > 0 {
		out = append(out, r.said(s, fails))
	}
	if first != nil {
		out = append(out, cannot(first.at(), r.question, few(reasons), "state what is missing; the version's page lists all that could not be judged of the wiring.")...)
	}
	return out
}

// few lists some reasons and counts the rest.
func few(reasons []string) string {
	const most = 2
	if more := len(reasons) - most; more > 0 {
		return fmt.Sprintf("%s; and %d more", strings.Join(reasons[:most], "; "), more)
	}
	return strings.Join(reasons, "; ")
}

// said is the callout about all that fails.
func (r *wiringRule) said(s *subject, fails []*failing) verdict {
	worst := fails[0]
	for _, f := range fails[1:] {
		if a, b := levelOf(r.signal(f)), levelOf(r.signal(worst)); a > b || a == b && f.excess() > worst.excess() {
			worst = f
		}
	}
	v := verdict{signal: r.signal(worst), at: worst.at(), text: r.text(worst), remedy: r.remedy(worst), gauge: worst.gauge()}
	var numbers []string
	for _, f := range fails {
		numbers = append(numbers, f.plainName()+": "+f.numbers())
		if f != worst {
			v.related = append(v.related, finding.Related{Span: f.at(), Text: "likewise, " + f.numbers()})
		}
	}
	if n := len(v.related); n > 0 {
		v.text += fmt.Sprintf("; and so it is at %s", places(n))
	}
	v.numbers = strings.Join(numbers, "; ")
	return v
}

func places(n int) string {
	if n == 1 {
		return "one more place"
	}
	return fmt.Sprintf("%d more places", n)
}

// seriousness is the order of the signal words.
var seriousness = []finding.Signal{finding.PropertyNotice, finding.Caution, finding.SignalWarning, finding.Danger}

func levelOf(s finding.Signal) int { return slices.Index(seriousness, s) }

// always gives one signal word, whatever the numbers.
func always(s finding.Signal) func(*failing) finding.Signal {
	return func(*failing) finding.Signal { return s }
}

// beyond gives the graver word from so many times the limit on.
func beyond(times float64, mild, grave finding.Signal) func(*failing) finding.Signal {
	return func(f *failing) finding.Signal {
		if below(quantity.Number(f.excess()), quantity.Number(times)) {
			return mild
		}
		return grave
	}
}

// first makes a remedy that is the same for all.
func first(remedy string) func(*failing) string { return func(*failing) string { return remedy } }

func (f *failing) at() finding.Span { return f.s.version.WiringSpan(f.Subject) }

// excess is how many times the number is beyond its limit, whichever way that
// lies; +Inf where one of the two is not a number.
func (f *failing) excess() float64 {
	x := f.Number.Value / f.Limit.Value
	if f.r.least {
		x = 1 / x
	}
	if math.IsNaN(x) {
		return math.Inf(1)
	}
	return x
}

// gauge holds the number against its limit; nil where the rule has none, and where it fails for another reason than its number.
func (f *failing) gauge() *finding.Gauge {
	if f.r.what == "" || math.IsNaN(f.Number.Value) || math.IsNaN(f.Limit.Value) {
		return nil
	}
	g := &finding.Gauge{What: f.r.what, Value: f.Number.Value, Limit: f.Limit.Value, Written: brief(f.Number), Bound: brief(f.Limit), Least: f.r.least}
	if !exceeds(g) {
		return nil
	}
	if f.Source != "" {
		g.Source = sourced(f.Source, f.Status)
	}
	return g
}

// numbers is what one failing rests on: the gauge in words, else what was found.
func (f *failing) numbers() string {
	if g := f.gauge(); g != nil {
		return g.String()
	}
	if f.Detail != "" {
		return f.Detail
	}
	return "it does not hold"
}

// brief is a quantity in four significant digits, three one in three and rough one in two.
func brief(q quantity.Quantity) string { return inDigits(q, 4) }
func three(q quantity.Quantity) string { return inDigits(q, 3) }
func rough(q quantity.Quantity) string { return inDigits(q, 2) }

func inDigits(q quantity.Quantity, digits float64) string {
	if q.Value != 0 && !math.IsInf(q.Value, 0) {
		scale := math.Pow(10, digits-1-math.Floor(math.Log10(math.Abs(q.Value))))
		q.Value = math.Round(q.Value*scale) / scale
	}
	q.Decimals = -1
	return q.String()
}

// part is the part that a verdict is about; nil where it is about a lead.
func (f *failing) part() *circuit.Part {
	if f.Subject.Part < 0 {
		return nil
	}
	return &f.c.Parts[f.Subject.Part]
}

// kind is what its part is; "" where it is about a lead.
func (f *failing) kind() circuit.Kind {
	if p := f.part(); p != nil {
		return p.Kind
	}
	return ""
}

// name names the part or lead in a sentence, plainName without marks.
func (f *failing) name() string {
	if p := f.part(); p != nil {
		return "`" + p.Name + "`"
	}
	l := &f.c.Leads[f.Subject.Lead]
	return fmt.Sprintf("the lead from `%s` to `%s`", l.From, l.To)
}

func (f *failing) plainName() string {
	if p := f.part(); p != nil {
		return p.Name
	}
	l := &f.c.Leads[f.Subject.Lead]
	ends := [2]circuit.Terminal{l.From, l.To}
	if f.Subject.End >= 0 {
		return ends[f.Subject.End].String()
	}
	return ends[0].String() + " to " + ends[1].String()
}

// others names the further parts that a verdict concerns, those of a kind left out.
func (f *failing) others(but circuit.Kind) string {
	var names []string
	for _, i := range f.Parts {
		if f.c.Parts[i].Kind != but {
			names = append(names, "`"+f.c.Parts[i].Name+"`")
		}
	}
	return listed(names)
}

// listed joins names for a sentence: "a, b and c".
func listed(names []string) string {
	if n := len(names) - 1; n > 0 {
		return strings.Join(names[:n], ", ") + " and " + names[n]
	}
	return strings.Join(names, "")
}

// atPoint says at which operating point, for a sentence: " at cruise".
func (f *failing) atPoint() string {
	if f.Point == "" {
		return ""
	}
	return " " + when(f.Point)
}

// when puts an operating point in words; one that the maker named is called so.
func when(point string) string {
	switch circuit.PointKind(point) {
	case circuit.Hill:
		return "on the hill"
	case circuit.Stall:
		return "with the motors held"
	case circuit.Charging:
		return "while it is charged"
	}
	return "at " + point
}

// short is what the pack that a verdict is about gives into a short; 0: not known.
func (f *failing) short() quantity.Amperes {
	if p := f.part(); p.Full > 0 && p.Resistance > 0 {
		return quantity.Amperes(float64(p.Full) / float64(p.Resistance))
	}
	return 0
}

// partsOf lists the parts of a kind.
func partsOf(c *circuit.Circuit, kind circuit.Kind) []int {
	var all []int
	for i := range c.Parts {
		if c.Parts[i].Kind == kind {
			all = append(all, i)
		}
	}
	return all
}

// atPart is where the front matter has a part.
func (s *subject) atPart(i int) finding.Span {
	return s.version.WiringSpan(circuit.Subject{Part: i, Lead: -1, End: -1})
}
