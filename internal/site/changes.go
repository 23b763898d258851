package site

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
)

// changesView is what changed between two versions, by meaning: what they are made of, and what they gave.
type changesView struct {
	Before  link
	Groups  []changedGroup
	Same    bool // nothing in the spec differs
	Parts   *partsLine
	Results *heldResults
	Refused []refusal
	Method  string
}

// changedGroup is the lines of a part of the spec that differ.
type changedGroup struct {
	Name string
	Rows []changedRow
}

type changedRow struct {
	Label       string
	Before, Now numeral
	What        string // instead of the two: "added", "dropped"
}

// partsLine says what the parts lists come to against each other; the lists stand further down.
type partsLine struct {
	Words []phrase
}

// heldResults is results held against each other, like with like.
type heldResults struct {
	caption
	Bodies []heldBody
}

type heldBody struct {
	Like  string // under what both were made
	Rows  []heldResult
	Stops string // why times and means are not compared, "" where they are
}

type heldResult struct {
	Figure      string
	Before, Now numeral
	Runs        string // how many on each side, where not one
	Change      numeral
	Part        string // the change as a part
	Verdict     string
	Larger      bool
}

// refusal is what is not held against each other, and why.
type refusal struct{ What, Why string }

// comparedFigures are the figures of each type of run that say something of a version, whichever way the run ended; those
// in wholeFigures do so only where the cutout ended both.
var (
	comparedFigures = map[journal.RunType][]string{
		journal.Field: {"energy-per-distance", "mean-speed", "top-speed", "mean-current", "resistance"},
		journal.Bench: {"resistance", "temperature-rise"},
		journal.Rest:  {"mean-current"},
	}
	wholeFigures = []string{"running-time", "charge-out", "energy-out", "distance", "cutout-voltage", "rebound-peak"}
)

// byTheClock are the figures that depend on which stops were taken out: they are compared only under one rule for stops.
var byTheClock = []string{"running-time", "mean-speed", "mean-current"}

// stopsOf is a run's rule for stops, as a word to compare.
func stopsOf(r *journal.Run) string {
	if !r.PauseAfter.Known() {
		return "no rule"
	}
	return stated(r.PauseAfter).Whole
}

// sameLoad is how far the loads of two bench runs may lie apart, as a part of the greater, to count as one: common
// practice, no source.
const sameLoad = 0.1

// changes holds a version against the one before it; nil where it follows none.
func (b *builder) changes(s *sheet, v *journal.Version) *changesView {
	if v.Before == nil {
		return nil
	}
	before := v.Before
	view := &changesView{Before: link{Words: versionWords(before), Href: s.to(versionPage(before))}, Method: b.formulaLink(s, "difference")}
	for _, g := range sideBySide([][]specItem{b.spec(s, before), b.spec(s, v)}) {
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
	view.Parts = b.partsLine(s, v)
	view.Results, view.Refused = b.heldResults(s, before, v)
	return view
}

func (b *builder) partsLine(s *sheet, v *journal.Version) *partsLine {
	c := b.partsDifference(v)
	if c == nil {
		return nil
	}
	return &partsLine{append(c, say(" The lists stand under "), phrase{Text: "parts", Href: s.to(versionPage(v)) + "#parts"}, say("."))}
}

// partsDifference says the three sums of a version's parts, each by its name.
func (b *builder) partsDifference(v *journal.Version) []phrase {
	if len(v.Parts) == 0 || len(v.Before.Parts) == 0 {
		return nil
	}
	a := b.in.Journal.Account(v)
	out := []phrase{say("The change cost "), sayNumber(amount(orNothing(a.Change, a.UnpricedChange, b.in.Journal.Currency.Text), computed, "")),
		say("; the vehicle as it stands cost "), sayNumber(amount(orNothing(a.Vehicle, a.UnpricedVehicle, b.in.Journal.Currency.Text), computed, ""))}
	if a.Mass.Known() {
		m := b.units(summed("", a.Mass))
		m.Twin = ""
		out = append(out, say("; the parts on it weigh "), sayNumber(m))
		if a.Unweighed > 0 {
			out = append(out, say(fmt.Sprintf(", without %s of unknown mass", count(a.Unweighed, "part"))))
		}
	}
	return append(out, say("."))
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
	size := func(l circuit.Lead) numeral {
		if l.Size.Area == 0 {
			return words("size not stated")
		}
		return words(strings.TrimSpace(l.Size.String() + " " + l.Colour))
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

// heldResults holds the runs of two versions against each other, and what is computed for them.
func (b *builder) heldResults(s *sheet, before, now *journal.Version) (*heldResults, []refusal) {
	t := &heldResults{}
	var refused []refusal
	for _, kind := range runTypes {
		a, c := ofType(before, kind), ofType(now, kind)
		head := typeHead(kind)
		switch {
		case len(a) == 0 && len(c) == 0:
			continue
		case len(a) == 0 || len(c) == 0:
			lacks := before
			if len(c) == 0 {
				lacks = now
			}
			refused = append(refused, refusal{head, fmt.Sprintf("version %d has none.", lacks.Number)})
			continue
		case kind == journal.Charge:
			refused = append(refused, refusal{head, "how much went back depends on the day before, so neither their times nor their charges say anything of the versions."})
			continue
		}
		bodies, why := b.heldRuns(a, c)
		for _, body := range bodies {
			if body.Stops != "" {
				refused = append(refused, refusal{body.Like, body.Stops})
			}
			if len(body.Rows) > 0 {
				t.Bodies = append(t.Bodies, body)
			}
		}
		if why != "" {
			refused = append(refused, refusal{head, why})
		}
	}
	body, why := b.heldComputed(before, now)
	if len(body.Rows) > 0 {
		t.Bodies = append(t.Bodies, body)
	}
	if why != "" {
		refused = append(refused, refusal{"Computed running times", why})
	}
	if len(t.Bodies) == 0 {
		return nil, refused
	}
	t.caption = s.table("held", fmt.Sprintf("Version %d against version %d, like with like. Beside the change stands its own ±: it covers the true change in 95 of 100 cases.", now.Number, before.Number))
	return t, refused
}

func ofType(v *journal.Version, kind journal.RunType) []*journal.Run {
	var out []*journal.Run
	for _, r := range v.Runs {
		if r.Type.Value == kind {
			out = append(out, r)
		}
	}
	return out
}

// heldRuns holds the runs of one type of two versions against each other: a body for each set of conditions that both
// have, and why the rest is not compared.
func (b *builder) heldRuns(before, now []*journal.Run) ([]heldBody, string) {
	var bodies []heldBody
	done := map[*journal.Run]bool{}
	nearest := ""
	for _, r := range slices.Backward(now) {
		if done[r] {
			continue
		}
		var a, c []*journal.Run
		for _, other := range before {
			why := b.unlike(other, r)
			if len(why) == 0 {
				a = append(a, other)
			} else if nearest == "" {
				nearest = fmt.Sprintf("%s and %s: %s.", midSentence(runWords(other)), midSentence(runWords(r)), strings.Join(why, "; "))
			}
		}
		for _, other := range now {
			if len(b.unlike(other, r)) == 0 {
				c = append(c, other)
				done[other] = true
			}
		}
		if len(a) == 0 {
			continue
		}
		if body := b.heldBody(a, c); len(body.Rows) > 0 || body.Stops != "" {
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

// unlike says why two runs cannot be held against each other; bench runs must have had the same load as well.
func (b *builder) unlike(a, c *journal.Run) []string {
	why := journal.Unlike(a, c)
	if len(why) > 0 || a.Type.Value != journal.Bench {
		return why
	}
	p, q := b.meanPower(a), b.meanPower(c)
	switch {
	case math.IsNaN(p) || math.IsNaN(q):
		return []string{"the load of one is not known"}
	case math.Abs(p-q) > sameLoad*math.Max(p, q):
		return []string{fmt.Sprintf("the load was %.0f W and %.0f W", p, q)}
	}
	return nil
}

func (b *builder) meanPower(r *journal.Run) float64 {
	energy, time := b.figureValue(r, "energy-out"), b.figureValue(r, "running-time")
	return energy.Value * 3600 / time.Value
}

// figureValue is a figure of a run; NaN where it has none.
func (b *builder) figureValue(r *journal.Run, name string) quantity.Quantity {
	for _, f := range b.figures(r) {
		if f.Name == name && f.Missing == "" {
			return f.Quantity
		}
	}
	return quantity.Quantity{Value: math.NaN(), U: math.NaN()}
}

// likeWords says under what like runs were made.
func (b *builder) likeWords(r *journal.Run) string {
	out := []string{runKind(r.Type.Value) + "s"}
	for _, n := range []numeral{b.units(stated(r.Conditions.Payload)), words(plain(r.Conditions.Surface)), stated(r.Conditions.Setting)} {
		if n.Set {
			out = append(out, n.Whole)
		}
	}
	if r.Type.Value == journal.Bench {
		if p := b.meanPower(r); !math.IsNaN(p) {
			out = append(out, fmt.Sprintf("about %.0f W", p))
		}
	}
	return strings.Join(out, ", ")
}

func (b *builder) heldBody(before, now []*journal.Run) heldBody {
	body := heldBody{Like: b.likeWords(now[0])}
	names := slices.Clone(comparedFigures[now[0].Type.Value])
	whole := true
	for _, r := range slices.Concat(before, now) {
		whole = whole && openedCutout(b.result(r)) != nil
		if rule := stopsOf(now[0]); stopsOf(r) != rule && now[0].Type.Value != journal.Rest {
			body.Stops = fmt.Sprintf("running time, mean speed and mean current depend on which stops are taken out: by %s on one, by %s on the other.", stopWords(r), stopWords(now[0]))
		}
	}
	if whole {
		names = append(slices.Clone(wholeFigures), names...)
	}
	for _, name := range names {
		if body.Stops != "" && slices.Contains(byTheClock, name) {
			continue
		}
		label, _ := runlog.FigureLabel(name)
		a, dimension := b.sample(before, name)
		c, _ := b.sample(now, name)
		if len(a.Values) == 0 || len(c.Values) == 0 {
			continue
		}
		body.Rows = append(body.Rows, b.heldResult(label, dimension, measured, a, c))
	}
	return body
}

// stopWords says a run's rule for stops in a sentence.
func stopWords(r *journal.Run) string {
	if !r.PauseAfter.Known() {
		return "no rule"
	}
	return "a rule of " + stated(r.PauseAfter).Whole
}

func (b *builder) sample(runs []*journal.Run, name string) (compare.Sample, quantity.Quantity) {
	var out compare.Sample
	var like quantity.Quantity
	for _, r := range runs {
		if q := b.figureValue(r, name); !math.IsNaN(q.Value) {
			out.Values, out.U = append(out.Values, q.Value), append(out.U, q.U)
			like = q
		}
	}
	return out, like
}

// heldResult is a line of the comparison. Values of one side are printed as their mean.
func (b *builder) heldResult(label string, like quantity.Quantity, k kind, before, now compare.Sample) heldResult {
	d := compare.Between(before, now)
	side := func(s compare.Sample) numeral {
		q := like
		q.Value, q.U, q.Decimals = 0, math.NaN(), -1
		for _, x := range s.Values {
			q.Value += x / float64(len(s.Values))
		}
		if len(s.Values) == 1 && len(s.U) == 1 {
			q.U = s.U[0]
		}
		if math.IsNaN(q.U) {
			q = brief(q, fewest)
		}
		n := b.units(printed(q, k, ""))
		n.Twin = ""
		return n
	}
	row := heldResult{Figure: label, Before: side(before), Now: side(now), Verdict: sentence(d.Verdict()), Larger: d.Larger}
	if n, m := len(before.Values), len(now.Values); n+m > 2 {
		row.Runs = fmt.Sprintf("mean of %s before, %s now", count(n, "run"), count(m, "run"))
	}
	if d.Err != "" {
		return row
	}
	q := like
	q.Value, q.U, q.Decimals = d.Value, d.Expanded/quantity.CoverageFactor, -1
	if q.Dimension == quantity.Temperature {
		q.Dimension = quantity.TemperatureDifference
	}
	row.Change = b.units(printed(q, computed, ""))
	row.Change.Twin = ""
	if was := row.Before; was.Set {
		mean := 0.0
		for _, x := range before.Values {
			mean += x / float64(len(before.Values))
		}
		if part := 100 * d.Value / mean; mean > 0 && math.Abs(part) < 1000 {
			row.Part = onPage(fmt.Sprintf("%+.1f %%", part))
		}
	}
	return row
}

// heldComputed holds what is computed for two versions against each other: what their packs are, and running times at loads
// that are alike.
func (b *builder) heldComputed(before, now *journal.Version) (heldBody, string) {
	body := heldBody{Like: "Computed"}
	a, c := b.answers(before), b.answers(now)
	if a == nil || c == nil || a.Err != "" || c.Err != "" {
		return body, ""
	}
	if a.Capacity.Known() && c.Capacity.Known() && a.Basis.Calibrated && c.Basis.Calibrated {
		for _, v := range c.Basis.Values {
			for _, was := range a.Basis.Values {
				if v.Name == was.Name && v.Quantity.Dimension == was.Quantity.Dimension {
					body.Rows = append(body.Rows, b.heldResult(v.Label+" of all packs", v.Quantity, computed, single(was.Quantity), single(v.Quantity)))
				}
			}
		}
	}
	why := ""
	for i, l := range c.Table.Loads {
		for k, m := range a.Table.Loads {
			r, okR := b.in.Journal.Run(journal.RunID(l.Run))
			q, okQ := b.in.Journal.Run(journal.RunID(m.Run))
			if !okR || !okQ || r.Type.Value != q.Type.Value {
				continue
			}
			if unlike := b.unlike(q, r); len(unlike) > 0 {
				why = fmt.Sprintf("the loads of the %s and the %s are not alike: %s.", midSentence(runWords(q)), midSentence(runWords(r)), strings.Join(unlike, "; "))
				continue
			}
			x, y := endOfOwn(a, k), endOfOwn(c, i)
			if x == nil || y == nil {
				continue
			}
			was, is, what := x.Running, y.Running, "Running time"
			if stopsOf(q) != stopsOf(r) { // two rules for stops count two things
				was, is, what = x.UnderLoad, y.UnderLoad, "Time under load"
			}
			if !was.Known() || !is.Known() {
				continue
			}
			body.Rows = append(body.Rows, b.heldResult(what+" from full at the load of each one's own run, "+strings.ToLower(b.likeWords(r)[:1])+b.likeWords(r)[1:], is.Quantity(), computed, single(was.Quantity()), single(is.Quantity())))
			return body, ""
		}
	}
	return body, why
}

func single(q quantity.Quantity) compare.Sample {
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
