// Package comparison holds versions against each other, like with like.
package comparison

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/compare"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/partslist"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/spec"
)

// ChangesView is what changed between two versions, by meaning: what they are made of, and what they gave.
type ChangesView struct {
	Before  frame.Link
	Groups  []changedGroup
	Same    bool // nothing in the spec differs
	Parts   *partsLine
	Results *heldResults
	Refused []Refusal
	Method  string
}

// changedGroup is the lines of a part of the spec that differ.
type changedGroup struct {
	Name string
	Rows []changedRow
}

type changedRow struct {
	Label       string
	Before, Now numeral.Numeral
	What        string // instead of the two: "added", "dropped"
}

// partsLine says what the parts lists come to against each other; the lists stand further down.
type partsLine struct {
	Words []numeral.Phrase
}

// heldResults is results held against each other, like with like.
type heldResults struct {
	frame.Caption
	Bodies []HeldBody
}

// HeldBody is what was made under like conditions.
type HeldBody struct {
	Like  string // under what both were made
	Rows  []HeldResult
	Stops string // why times and means are not compared, "" where they are
}

// HeldResult is one figure of two versions, and whether its change is larger than its uncertainty.
type HeldResult struct {
	Figure      string
	Before, Now numeral.Numeral
	Runs        string // how many on each side, where not one
	Change      numeral.Numeral
	Part        string // the change as a part
	Verdict     string
	Larger      bool
}

// Refusal is what is not held against each other, and why.
type Refusal struct{ What, Why string }

// ComparedFigures are the figures of each type of run that say something of a version, whichever way the run ended; those
// in wholeFigures do so only where the cutout ended both.
var (
	ComparedFigures = map[journal.RunType][]string{
		journal.Field: {"energy-per-distance", "mean-speed", "top-speed", "mean-current", "resistance"},
		journal.Bench: {"resistance", "temperature-rise"},
		journal.Rest:  {"mean-current"},
	}
	wholeFigures = []string{"running-time", "charge-out", "energy-out", "distance", "cutout-voltage", "rebound-peak"}
)

// ByTheClock are the figures that depend on which stops were taken out: they are compared only under one rule for stops.
var ByTheClock = []string{"running-time", "mean-speed", "mean-current"}

// StopsOf is a run's rule for stops, as a word to compare.
func StopsOf(r *journal.Run) string {
	if !r.PauseAfter.Known() {
		return "no rule"
	}
	return numeral.Stated(r.PauseAfter).Whole
}

// Of holds a version against the one before it; nil where it follows none.
func Of(rd *reading.Reader, s *frame.Sheet, v *journal.Version) *ChangesView {
	if v.Before == nil {
		return nil
	}
	before := v.Before
	view := &ChangesView{Before: frame.Link{Words: reading.VersionWords(before), Href: s.To(address.Version(before))}, Method: rd.FormulaLink(s, "difference")}
	for _, g := range spec.SideBySide([][]spec.Item{spec.Of(rd, s, before), spec.Of(rd, s, v)}) {
		group := changedGroup{Name: g.Name}
		for _, row := range g.Rows {
			if row.Cells[1].Changed {
				group.Rows = append(group.Rows, changedRow{Label: row.Label, Before: row.Cells[0].Value, Now: row.Cells[1].Value})
			}
		}
		if len(group.Rows) > 0 {
			view.Groups = append(view.Groups, group)
		}
	}
	if g := wiringChanges(before, v); len(g.Rows) > 0 {
		view.Groups = append(view.Groups, g)
	}
	view.Same = len(view.Groups) == 0
	view.Parts = lineOfParts(rd, s, v)
	view.Results, view.Refused = resultsOf(rd, s, before, v)
	return view
}

// ResultsOf holds the results of a version against those of another, like with like: a body for each set of conditions
// that both have, and what cannot be held.
func ResultsOf(rd *reading.Reader, before, now *journal.Version) ([]HeldBody, []Refusal) {
	return heldBodies(rd, before, now)
}

func lineOfParts(rd *reading.Reader, s *frame.Sheet, v *journal.Version) *partsLine {
	c := partsDifference(rd, v)
	if c == nil {
		return nil
	}
	return &partsLine{append(c, numeral.Say(" The lists stand under "), numeral.Phrase{Text: "parts", Href: s.To(address.Version(v)) + "#parts"}, numeral.Say("."))}
}

// partsDifference says the three sums of a version's parts, each by its name.
func partsDifference(rd *reading.Reader, v *journal.Version) []numeral.Phrase {
	if len(v.Parts) == 0 || len(v.Before.Parts) == 0 {
		return nil
	}
	a := rd.Journal.Account(v)
	out := []numeral.Phrase{numeral.Say("The change cost "), numeral.SayNumber(numeral.Amount(partslist.OrNothing(a.Change, a.UnpricedChange, rd.Journal.Currency.Text), numeral.Computed, "")),
		numeral.Say("; the vehicle as it stands cost "), numeral.SayNumber(numeral.Amount(partslist.OrNothing(a.Vehicle, a.UnpricedVehicle, rd.Journal.Currency.Text), numeral.Computed, ""))}
	if a.Mass.Known() {
		m := rd.Units(numeral.Summed("", a.Mass))
		m.Twin = ""
		out = append(out, numeral.Say("; the parts on it weigh "), numeral.SayNumber(m))
		if a.Unweighed > 0 {
			out = append(out, numeral.Say(fmt.Sprintf(", without %s of unknown mass", numeral.Count(a.Unweighed, "part"))))
		}
	}
	return append(out, numeral.Say("."))
}

// wiringChanges tells the parts and leads of two wirings apart, by name and by what a lead joins.
func wiringChanges(before, now *journal.Version) changedGroup {
	g := changedGroup{Name: "Wiring"}
	was, okWas := before.Circuit()
	is, okIs := now.Circuit()
	if !okWas || !okIs {
		return g
	}
	lead := func(l circuit.Lead) string { return l.From.String() + " to " + l.To.String() }
	size := func(l circuit.Lead) numeral.Numeral {
		if l.Size.Area == 0 {
			return numeral.Words("size not stated")
		}
		return numeral.Words(strings.TrimSpace(l.Size.String() + " " + l.Colour))
	}
	for _, p := range is.Parts {
		if !slices.ContainsFunc(was.Parts, func(q circuit.Part) bool { return q.Name == p.Name }) {
			g.Rows = append(g.Rows, changedRow{Label: p.Name, What: "added"})
		}
	}
	for _, p := range was.Parts {
		if !slices.ContainsFunc(is.Parts, func(q circuit.Part) bool { return q.Name == p.Name }) {
			g.Rows = append(g.Rows, changedRow{Label: p.Name, What: "dropped"})
		}
	}
	added, dropped := 0, 0
	for _, l := range is.Leads {
		i := slices.IndexFunc(was.Leads, func(m circuit.Lead) bool { return lead(m) == lead(l) })
		switch {
		case i < 0:
			added++
		case size(was.Leads[i]).Whole != size(l).Whole:
			g.Rows = append(g.Rows, changedRow{Label: "Lead " + lead(l), Before: size(was.Leads[i]), Now: size(l)})
		}
	}
	for _, l := range was.Leads {
		if !slices.ContainsFunc(is.Leads, func(m circuit.Lead) bool { return lead(m) == lead(l) }) {
			dropped++
		}
	}
	if added+dropped > 0 {
		g.Rows = append(g.Rows, changedRow{Label: "Leads", What: fmt.Sprintf("%d added, %d dropped; %d in all", added, dropped, len(is.Leads))})
	}
	return g
}

// resultsOf sets the results of two versions beside each other; heldBodies holds the runs of two versions against each other, and what is computed for them.
func resultsOf(rd *reading.Reader, s *frame.Sheet, before, now *journal.Version) (*heldResults, []Refusal) {
	bodies, refused := heldBodies(rd, before, now)
	if len(bodies) == 0 {
		return nil, refused
	}
	return &heldResults{Caption: s.Table("held", fmt.Sprintf("Version %d against version %d, like with like. Beside the change stands its own ±: it covers the true change in 95 of 100 cases.", now.Number, before.Number)), Bodies: bodies}, refused
}

func heldBodies(rd *reading.Reader, before, now *journal.Version) ([]HeldBody, []Refusal) {
	var out []HeldBody
	var refused []Refusal
	for _, kind := range reading.RunTypes {
		a, c := reading.OfType(before, kind), reading.OfType(now, kind)
		head := reading.TypeHead(kind)
		switch {
		case len(a) == 0 && len(c) == 0:
			continue
		case len(a) == 0 || len(c) == 0:
			lacks := before
			if len(c) == 0 {
				lacks = now
			}
			refused = append(refused, Refusal{head, fmt.Sprintf("version %d has none.", lacks.Number)})
			continue
		case kind == journal.Charge:
			refused = append(refused, Refusal{head, "how much went back depends on the day before, so neither their times nor their charges say anything of the versions."})
			continue
		}
		bodies, why := heldRuns(rd, a, c)
		for _, body := range bodies {
			if body.Stops != "" {
				refused = append(refused, Refusal{body.Like, body.Stops})
			}
			if len(body.Rows) > 0 {
				out = append(out, body)
			}
		}
		if why != "" {
			refused = append(refused, Refusal{head, why})
		}
	}
	body, why := heldComputed(rd, before, now)
	if len(body.Rows) > 0 {
		out = append(out, body)
	}
	if why != "" {
		refused = append(refused, Refusal{"Computed running times", why})
	}
	return out, refused
}

// heldRuns holds the runs of one type of two versions against each other: a body for each set of conditions that both
// have, and why the rest is not compared.
func heldRuns(rd *reading.Reader, before, now []*journal.Run) ([]HeldBody, string) {
	var bodies []HeldBody
	done := map[*journal.Run]bool{}
	nearest := ""
	for _, r := range slices.Backward(now) {
		if done[r] {
			continue
		}
		var a, c []*journal.Run
		for _, other := range before {
			why := rd.Unlike(other, r)
			if len(why) == 0 {
				a = append(a, other)
			} else if nearest == "" {
				nearest = fmt.Sprintf("%s and %s: %s.", numeral.MidSentence(reading.RunWords(other)), numeral.MidSentence(reading.RunWords(r)), strings.Join(why, "; "))
			}
		}
		for _, other := range now {
			if len(rd.Unlike(other, r)) == 0 {
				c = append(c, other)
				done[other] = true
			}
		}
		if len(a) == 0 {
			continue
		}
		if body := bodyOf(rd, a, c); len(body.Rows) > 0 || body.Stops != "" {
			bodies = append(bodies, body)
		}
	}
	if len(bodies) > 0 {
		return bodies, ""
	}
	if nearest == "" {
		nearest = "the runs have no figure in common that says anything of the versions."
	}
	return nil, nearest
}

// LikeWords says under what like runs were made.
func LikeWords(rd *reading.Reader, r *journal.Run) string {
	out := []string{reading.RunKind(r.Type.Value) + "s"}
	for _, n := range []numeral.Numeral{rd.Units(numeral.Stated(r.Conditions.Payload)), numeral.Words(numeral.Plain(r.Conditions.Surface)), numeral.Stated(r.Conditions.Setting)} {
		if n.Set {
			out = append(out, n.Whole)
		}
	}
	if r.Type.Value == journal.Bench {
		if p, ok := rd.MeanPower(r).Get(); ok {
			out = append(out, fmt.Sprintf("about %.0f W", float64(p)))
		}
	}
	return strings.Join(out, ", ")
}

func bodyOf(rd *reading.Reader, before, now []*journal.Run) HeldBody {
	body := HeldBody{Like: LikeWords(rd, now[0])}
	names := slices.Clone(ComparedFigures[now[0].Type.Value])
	whole := true
	for _, r := range slices.Concat(before, now) {
		whole = whole && reading.OpenedCutout(rd.Result(r)) != nil
		if rule := StopsOf(now[0]); StopsOf(r) != rule && now[0].Type.Value != journal.Rest {
			body.Stops = fmt.Sprintf("running time, mean speed and mean current depend on which stops are taken out: by %s on one, by %s on the other.", stopWords(r), stopWords(now[0]))
		}
	}
	if whole {
		names = append(slices.Clone(wholeFigures), names...)
	}
	for _, name := range names {
		if body.Stops != "" && slices.Contains(ByTheClock, name) {
			continue
		}
		label, _ := runlog.FigureLabel(name)
		a, dimension := sample(rd, before, name)
		c, _ := sample(rd, now, name)
		if len(a.Values) == 0 || len(c.Values) == 0 {
			continue
		}
		body.Rows = append(body.Rows, Held(rd, label, dimension, numeral.Measured, a, c))
	}
	return body
}

// stopWords says a run's rule for stops in a sentence.
func stopWords(r *journal.Run) string {
	if !r.PauseAfter.Known() {
		return "no rule"
	}
	return "a rule of " + numeral.Stated(r.PauseAfter).Whole
}

func sample(rd *reading.Reader, runs []*journal.Run, name string) (compare.Sample, quantity.Quantity) {
	var out compare.Sample
	var like quantity.Quantity
	for _, r := range runs {
		if q, ok := rd.FigureValue(r, name).Get(); ok {
			out.Values, out.U = append(out.Values, q.Value), append(out.U, q.U)
			like = q
		}
	}
	return out, like
}

// Held is a line of the comparison. Values of one side are printed as their mean.
func Held(rd *reading.Reader, label string, like quantity.Quantity, k numeral.Kind, before, now compare.Sample) HeldResult {
	d := compare.Between(before, now)
	side := func(s compare.Sample) numeral.Numeral {
		q := like
		q.Value, q.U, q.Decimals = 0, math.NaN(), -1
		for _, x := range s.Values {
			q.Value += x / float64(len(s.Values))
		}
		if len(s.Values) == 1 && len(s.U) == 1 {
			q.U = s.U[0]
		}
		if math.IsNaN(q.U) {
			q = numeral.Brief(q, numeral.Fewest)
		}
		n := rd.Units(numeral.Printed(q, k, ""))
		n.Twin = ""
		return n
	}
	row := HeldResult{Figure: label, Before: side(before), Now: side(now), Verdict: numeral.Sentence(d.Verdict()), Larger: d.Larger}
	if n, m := len(before.Values), len(now.Values); n+m > 2 {
		row.Runs = fmt.Sprintf("mean of %s before, %s now", numeral.Count(n, "run"), numeral.Count(m, "run"))
	}
	if d.Err != "" {
		return row
	}
	q := like
	q.Value, q.U, q.Decimals = d.Value, d.Expanded/quantity.CoverageFactor, -1
	if q.Dimension == quantity.Temperature {
		q.Dimension = quantity.TemperatureDifference
	}
	row.Change = rd.Units(numeral.Printed(q, numeral.Computed, ""))
	row.Change.Twin = ""
	if was := row.Before; was.Set {
		mean := 0.0
		for _, x := range before.Values {
			mean += x / float64(len(before.Values))
		}
		if part := 100 * d.Value / mean; mean > 0 && math.Abs(part) < 1000 {
			row.Part = numeral.OnPage(fmt.Sprintf("%+.1f %%", part))
		}
	}
	return row
}

// Computed is what stands for the conditions of what is computed for both.
const Computed = "Computed"

// heldComputed holds what is computed for two versions against each other: what their packs are, and running times at loads
// that are alike.
func heldComputed(rd *reading.Reader, before, now *journal.Version) (HeldBody, string) {
	body := HeldBody{Like: Computed}
	a, c := rd.Answers(before), rd.Answers(now)
	if a == nil || c == nil || a.Err != "" || c.Err != "" {
		return body, ""
	}
	if a.Capacity.Known() && c.Capacity.Known() && a.Basis.Calibrated && c.Basis.Calibrated {
		for _, v := range c.Basis.Values {
			for _, was := range a.Basis.Values {
				if v.Name == was.Name && v.Quantity.Dimension == was.Quantity.Dimension {
					body.Rows = append(body.Rows, Held(rd, v.Label+" of all packs", v.Quantity, numeral.Computed, Single(was.Quantity), Single(v.Quantity)))
				}
			}
		}
	}
	why := ""
	for i, l := range c.Table.Loads {
		for k, m := range a.Table.Loads {
			r, okR := rd.Journal.Run(journal.RunID(l.Run))
			q, okQ := rd.Journal.Run(journal.RunID(m.Run))
			if !okR || !okQ || r.Type.Value != q.Type.Value {
				continue
			}
			if unlike := rd.Unlike(q, r); len(unlike) > 0 {
				why = fmt.Sprintf("the loads of the %s and the %s are not alike: %s.", numeral.MidSentence(reading.RunWords(q)), numeral.MidSentence(reading.RunWords(r)), strings.Join(unlike, "; "))
				continue
			}
			x, y := endOfOwn(a, k), endOfOwn(c, i)
			if x == nil || y == nil {
				continue
			}
			was, is, what := x.Running, y.Running, "Running time"
			if StopsOf(q) != StopsOf(r) { // two rules for stops count two things
				was, is, what = x.UnderLoad, y.UnderLoad, "Time under load"
			}
			if !was.Known() || !is.Known() {
				continue
			}
			body.Rows = append(body.Rows, Held(rd, what+" from full at the load of each one's own run, "+strings.ToLower(LikeWords(rd, r)[:1])+LikeWords(rd, r)[1:], is.Quantity(), numeral.Computed, Single(was.Quantity()), Single(is.Quantity())))
			return body, ""
		}
	}
	return body, why
}

// Single is a sample of one value.
func Single(q quantity.Quantity) compare.Sample {
	return compare.Sample{Values: []float64{q.Value}, U: []float64{q.U}}
}

func endOfOwn(a *predict.Prediction, load int) *predict.EndPoint {
	if load >= len(a.Table.Cells) || len(a.Table.Cells[load]) == 0 || a.Table.Cells[load][0].Err != "" {
		return nil
	}
	end := a.Table.Cells[load][0].End()
	if end.Err != "" || !end.Running.Known() {
		return nil
	}
	return &end
}
