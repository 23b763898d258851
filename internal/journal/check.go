package journal

import (
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// check judges what can be judged without computing.
func (l *loader) check() {
	l.checkJournal()
	l.checkSubjects()
	for _, v := range l.journal.Vehicles {
		l.checkVehicle(v)
		for _, version := range v.Versions {
			l.checkSequence(version)
			l.checkTaughtBy(version)
			l.checkSpec(version)
			l.checkAccount(l.journal, version)
			l.unlikely(version)
			for _, r := range version.Runs {
				l.checkRun(r)
				l.unlikely(r)
			}
		}
	}
}

var (
	languagePattern = regexp.MustCompile(`^[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*$`)
	currencyPattern = regexp.MustCompile(`^[A-Z]{3}$`)
)

func (l *loader) checkJournal() {
	j := l.journal
	if j.Address.Set {
		u, err := url.Parse(j.Address.Text)
		if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "" || u.RawQuery != "" || u.Fragment != "" {
			l.add(finding.Error, RuleMalformedWord, j.Address.Span, fmt.Sprintf("`address`: `%s` is no address of a site", j.Address.Text), "write where the site will stand, such as https://example.org/club/.")
		}
	}
	if j.Language.Set && !languagePattern.MatchString(j.Language.Text) {
		l.add(finding.Error, RuleMalformedWord, j.Language.Span, fmt.Sprintf("`language`: `%s` is no language tag", j.Language.Text), "write one such as en-GB (BCP 47).")
	}
	l.currency(j.Currency)
	if c := securityContact(j.Security); c != "" {
		l.add(finding.Error, RuleMalformedWord, j.Security.Contact.Span, fmt.Sprintf("`security.contact`: `%s` is no address", c), "write one that begins with mailto:, https:// or tel:, such as mailto:shed@example.org (RFC 9116).")
	}
	l.checkSources()
}

// securityContact is the contact as it is written, where it is no address of the schemes that RFC 9116, 2.5.3, names.
func securityContact(s *Security) string {
	if s == nil || !s.Contact.Set {
		return ""
	}
	u, err := url.Parse(s.Contact.Text)
	if err == nil && !strings.ContainsFunc(s.Contact.Text, unicode.IsSpace) && (u.Scheme == "https" && u.Host != "" || (u.Scheme == "mailto" || u.Scheme == "tel") && u.Opaque != "") {
		return ""
	}
	return s.Contact.Text
}

func (l *loader) currency(w notes.Word) {
	if w.Set && !currencyPattern.MatchString(w.Text) {
		l.add(finding.Error, RuleMalformedWord, w.Span, fmt.Sprintf("`currency`: `%s` is no currency code", w.Text), "write its three capital letters, such as GBP (ISO 4217).")
	}
}

// checkTaughtBy finds the runs that are to teach.
func (l *loader) checkTaughtBy(v *Version) {
	slugs := v.RunNames()
	for _, w := range v.TaughtBy {
		if slices.Contains(slugs, w.Text) {
			continue
		}
		remedy := "leave the key out: the version has no run."
		if len(slugs) > 0 {
			remedy = "write some of " + strings.Join(slugs, ", ") + "."
		}
		l.add(finding.Error, RuleUnknownTarget, w.Span, fmt.Sprintf("`taught-by`: the version has no run `%s`%s", w.Text, notes.DidYouMean(w.Text, slugs)), remedy)
	}
}

// RunNames are the names of the version's runs.
func (v *Version) RunNames() []string {
	var out []string
	for _, r := range v.Runs {
		out = append(out, r.Slug)
	}
	return out
}

// TaughtByRuns is the version with other runs that teach, by their names. No name: as it says itself.
func (v *Version) TaughtByRuns(names []string) *Version {
	if len(names) == 0 {
		return v
	}
	out := *v
	out.TaughtBy = nil
	for _, name := range names {
		out.TaughtBy = append(out.TaughtBy, notes.Word{Text: name, Set: true})
	}
	return &out
}

// Teaches says whether a run of the version may teach.
func (v *Version) Teaches(r *Run) bool {
	return len(v.TaughtBy) == 0 || slices.ContainsFunc(v.TaughtBy, func(w notes.Word) bool { return w.Text == r.Slug })
}

// checkSequence finds the version before, and judges the order.
func (l *loader) checkSequence(v *Version) {
	if !v.Follows.Set {
		return
	}
	var slugs []string
	for _, other := range v.Vehicle.Versions {
		if other.Slug == v.Follows.Text && other != v {
			v.Before = other
		}
		if other != v {
			slugs = append(slugs, other.Slug)
		}
	}
	switch {
	case v.Follows.Text == v.Slug:
		l.add(finding.Error, RuleFollows, v.Follows.Span, "`follows`: the version follows itself", "name the version before it, or leave the key out.")
	case v.Before == nil:
		remedy := "leave the key out: the vehicle has no other version."
		if len(slugs) > 0 {
			remedy = "write one of " + strings.Join(slugs, ", ") + "."
		}
		l.add(finding.Error, RuleFollows, v.Follows.Span, fmt.Sprintf("`follows`: `%s` has no version `%s`%s", v.Vehicle.Slug, v.Follows.Text, notes.DidYouMean(v.Follows.Text, slugs)), remedy)
	case v.Before.Number >= v.Number:
		l.add(finding.Error, RuleFollows, v.Follows.Span, fmt.Sprintf("`follows`: `%s` has the number %d, which is not below this version's %d", v.Before.Slug, v.Before.Number, v.Number), "give the folders numbers in the order of the versions.")
		v.Before = nil
	}
}

// bound is a test of one value: it fails where the value is known and `holds` is false.
func bound[K quantity.Kind](l *loader, name string, v notes.Value[K], holds func(K) bool, must, remedy string) {
	if v.Known() && !holds(v.Value) {
		l.add(finding.Error, notes.RuleImpossibleValue, v.Span, fmt.Sprintf("`%s`: %s cannot be: it must be %s", name, v.Written, must), remedy)
	}
}

func positive[K quantity.Kind](l *loader, name string, v notes.Value[K]) {
	bound(l, name, v, func(k K) bool { return k > 0 }, "above zero", "write the value without a sign, or leave the key out.")
}

func notNegative[K quantity.Kind](l *loader, name string, v notes.Value[K]) {
	bound(l, name, v, func(k K) bool { return k >= 0 }, "zero or more", "write the value without a minus sign.")
}

func (l *loader) share(name string, v notes.Value[quantity.Fraction]) {
	bound(l, name, v, func(f quantity.Fraction) bool { return f > 0 && f <= 1 }, "above 0 % and at most 100 %", "write the share of the whole, such as 60 %.")
}

func (l *loader) atLeastOne(name string, v notes.Integer) {
	if v.Set && v.Value < 1 {
		l.add(finding.Error, notes.RuleImpossibleValue, v.Span, fmt.Sprintf("`%s`: %d cannot be: it must be 1 or more", name, v.Value), "write how many there are.")
	}
}

func (l *loader) checkSpec(v *Version) {
	for i := range v.Packs {
		l.checkPack(&v.Packs[i])
	}
	if c := v.Cutout; c != nil {
		l.checkCutout(c, v.Packs)
	}
	if c := v.Controller; c != nil {
		positive(l, "current", c.Current)
		l.share("setting", c.Setting)
		l.share("efficiency", c.Efficiency)
		positive(l, "limit", c.Limit)
		if c.Voltage.Set && c.Voltage.From.Value < 0 {
			l.add(finding.Error, notes.RuleImpossibleValue, c.Voltage.Span, fmt.Sprintf("`voltage`: %s cannot be: it must be zero or more", c.Voltage.Written), "write the range of supply voltages from the data sheet.")
		}
	}
	l.checkDrive(v)
	for _, m := range v.Motors {
		positive(l, "rated", m.Rated)
		positive(l, "power", m.Power)
		positive(l, "no-load-speed", m.NoLoadSpeed)
		positive(l, "no-load-current", m.NoLoadCurrent)
		positive(l, "resistance", m.Resistance)
	}
	if c := v.Charger; c != nil {
		positive(l, "voltage", c.Voltage)
		positive(l, "current", c.Current)
		l.share("efficiency", c.Efficiency)
	}
	if u := v.Use; u != nil {
		l.atLeastOne("age", u.Age)
	}
	if d := v.Drive; d != nil {
		positive(l, "ratio", d.Ratio)
		positive(l, "wheel", d.Wheel)
	}
	if m := v.Masses; m != nil {
		positive(l, "vehicle", m.Vehicle)
		notNegative(l, "payload", m.Payload)
	}
	l.checkWiring(v)
	for i := range v.Parts {
		l.checkPart(v, &v.Parts[i])
	}
}

func (l *loader) checkPack(p *Pack) {
	l.atLeastOne("series", p.Series)
	l.atLeastOne("parallel", p.Parallel)
	positive(l, "capacity", p.Capacity)
	positive(l, "resistance", p.Resistance)
	positive(l, "full", p.Full)
	positive(l, "mass", p.Mass)
	positive(l, "discharge", p.Discharge)
	positive(l, "fuse", p.Fuse.Rating)
	positive(l, "joined-at", p.JoinedAt)
	positive(l, "opens", p.Protection.Opens)
	positive(l, "current", p.Protection.Current)
	positive(l, "charge-stops", p.Protection.ChargeStops)
	if p.Series.Set && p.Series.Value < 1 {
		return
	}
	l.checkSheet(p)
	nominal, full := p.Nominal(), p.ChemistryFull()
	if s := p.Full; s.Known() && s.Value > 0 && full.Known() && (s.Value < nominal.Value || s.Value > 1.1*full.Value) {
		l.add(finding.Error, RuleFullVoltage, s.Span, fmt.Sprintf("`full`: %s does not fit %d cells of %s in series, which are nominally %s and fully charged at %s", s.Written, p.Series.Value, p.Chemistry.Value, volts(nominal.Value), volts(full.Value)), "see which is wrong: the charge voltage, the chemistry or the number of cells in series.")
	}
	l.belowFull("opens", p.Protection.Opens, p)
	if o, s := p.Protection.Opens, p.Protection.ChargeStops; o.Known() && s.Known() && s.Value <= o.Value {
		l.add(finding.Error, notes.RuleImpossibleValue, s.Span, fmt.Sprintf("`charge-stops`: %s is not above %s, at which the protection opens on discharge", s.Written, o.Written), "see whether the two are swapped.")
	}
}

// belowFull reports a voltage that opens a discharge path at or above a pack's full charge.
func (l *loader) belowFull(name string, v notes.Value[quantity.Volts], p *Pack) bool {
	full := p.FullVoltage()
	if !v.Known() || !full.Known() || full.Value <= 0 || v.Value < full.Value {
		return true
	}
	basis := fmt.Sprintf("%d cells of %s in series", p.Series.Value, p.Chemistry.Value)
	var related []finding.Related
	if p.Full.Known() {
		basis = "as `full` says"
		related = []finding.Related{{Span: p.Full.Span, Text: "the pack's full charge is written here"}}
	} else if p.Series.Set {
		related = []finding.Related{{Span: p.Series.Span, Text: "the cells in series are written here"}}
	}
	l.findings.Add(finding.Finding{Rule: notes.RuleImpossibleValue, Level: finding.Error, Span: v.Span, Related: related,
		Text:   fmt.Sprintf("`%s`: %s is not below the pack's full charge of %s (%s): it would never close", name, v.Written, volts(full.Value), basis),
		Remedy: "see which is wrong: this voltage, the chemistry or the number of cells in series."})
	return false
}

func (l *loader) checkCutout(c *Cutout, packs []Pack) {
	positive(l, "opens", c.Opens)
	positive(l, "reset-threshold", c.Threshold)
	notNegative(l, "delay", c.Delay)
	positive(l, "current", c.Current)
	for i := range packs {
		if !l.belowFull("opens", c.Opens, &packs[i]) || !l.resets(c, &packs[i]) {
			return
		}
	}
}

// resets reports a cutout that closes again only at or above a pack's full charge, which no rebound reaches.
func (l *loader) resets(c *Cutout, p *Pack) bool {
	full := p.FullVoltage()
	reset := quantity.Sum(c.Opens.Measured, c.Threshold.Measured)
	if !reset.Known() || c.Threshold.Value <= 0 || !full.Known() || full.Value <= 0 || reset.Value < full.Value {
		return true
	}
	l.findings.Add(finding.Finding{Rule: notes.RuleImpossibleValue, Level: finding.Error, Span: c.Threshold.Span,
		Related: []finding.Related{{Span: c.Opens.Span, Text: "the cutout opens here"}},
		Text:    fmt.Sprintf("`reset-threshold`: the cutout would close again at %s, which is not below the pack's full charge of %s: it would never close", volts(reset.Value), volts(full.Value)),
		Remedy:  "write by how much the voltage must rise above the opening for the cutout to close, not the voltage itself."})
	return false
}

func (l *loader) checkRun(r *Run) {
	if r.Note.Broken {
		return
	}
	if r.Date.Set && r.Version.Date.Set && r.Date.String() < r.Version.Date.String() {
		l.findings.Add(finding.Finding{Rule: RuleRunBefore, Level: finding.Warning, Span: r.Date.Span,
			Text:    fmt.Sprintf("the run of %s is older than its version, which is of %s", r.Date, r.Version.Date),
			Remedy:  "see which date is wrong, or move the run to the version before.",
			Related: []finding.Related{{Span: r.Version.Date.Span, Text: "the version's date is written here"}}})
	}
	notNegative(l, "payload", r.Conditions.Payload)
	l.share("setting", r.Conditions.Setting)
	notNegative(l, "pause-after", r.PauseAfter)
	notNegative(l, "idle", r.Idle)
	positive(l, "wall-energy", r.WallEnergy)
	if r.Log != nil {
		positive(l, "step", r.Log.Step)
		positive(l, "gap", r.Log.Gap)
	}
	l.checkInstruments(r.Instruments)
	l.checkEvidence(r)
	l.checkReadings(r.Readings)
	if r.Stopwatch != nil {
		l.checkStopwatch(r.Stopwatch)
	}
}

func (l *loader) checkInstruments(list []Instrument) {
	seen := map[Measure]finding.Span{}
	for _, in := range list {
		if !in.Measures.Set {
			continue
		}
		if first, twice := seen[in.Measures.Value]; twice {
			l.findings.Add(finding.Finding{Rule: RuleInstrumentTwice, Level: finding.Error, Span: in.Measures.Span,
				Text: fmt.Sprintf("two instruments measure %s", in.Measures.Value), Remedy: "keep the one whose values are in the log.",
				Related: []finding.Related{{Span: first, Text: "the first one is here"}}})
		} else {
			seen[in.Measures.Value] = in.Measures.Span
		}
		channel, _ := runlog.ParseChannel(string(in.Measures.Value))
		if q := in.Resolution; q.Set {
			if !sameScale(q.Dimension, channel.Dimension()) {
				l.add(finding.Error, notes.RuleWrongDimension, q.Span, fmt.Sprintf("`resolution`: %s is %s, and the instrument measures %s", q.Quantity, q.Dimension.WithArticle(), in.Measures.Value), "write a resolution in the unit of what it measures.")
			} else if q.Value <= 0 {
				l.add(finding.Error, notes.RuleImpossibleValue, q.Span, fmt.Sprintf("`resolution`: %s cannot be: it must be above zero", q.Quantity), "write the value of the last digit.")
			}
		}
		if h := in.Highest; h.Set && !sameScale(h.Dimension, channel.Dimension()) {
			l.add(finding.Error, notes.RuleWrongDimension, h.Span, fmt.Sprintf("`highest`: %s is %s, and the instrument measures %s", h.Quantity, h.Dimension.WithArticle(), in.Measures.Value), "write it in the unit of what it measures.")
		}
		if a := in.Accuracy; a.Set && a.Digits > 0 && !in.Resolution.Set {
			l.add(finding.Error, RuleDigitSize, a.Span, fmt.Sprintf("`accuracy`: %s counts digits, and how much a digit is worth is not stated", a.Written), "add `resolution:`, the value of the last digit shown, such as 0.01 V.")
		}
		if a := in.Accuracy; a.Set && a.Absolute.Value != 0 && !sameScale(a.Absolute.Dimension, channel.Dimension()) {
			l.add(finding.Error, notes.RuleWrongDimension, a.Span, fmt.Sprintf("`accuracy`: %s is %s, and the instrument measures %s", a.Absolute, a.Absolute.Dimension.WithArticle(), in.Measures.Value), "write it in per cent, in digits, or in the unit of what it measures.")
		}
	}
}

// sameScale tells whether a difference of one dimension can be one of the other.
func sameScale(difference, of quantity.Dimension) bool {
	return difference == of || difference == quantity.TemperatureDifference && of == quantity.Temperature
}

func (l *loader) checkEvidence(r *Run) {
	var kinds []string
	for _, kind := range []string{"log", "readings", "stopwatch"} {
		node, ok := r.Note.Front.Lookup(kind)
		if !ok {
			continue
		}
		kinds = append(kinds, kind)
		l.notEmpty(kind, node)
		if laps, ok := node.Lookup("laps"); ok {
			l.notEmpty("laps", laps)
		}
	}
	switch len(kinds) {
	case 1:
	case 0:
		l.add(finding.Error, RuleEvidence, r.Note.KindSpan, "the run has no evidence", "add one of `log:`, `readings:` and `stopwatch:`.")
	default:
		l.add(finding.Error, RuleEvidence, r.Note.KindSpan, "the run has more than one kind of evidence: "+strings.Join(kinds, " and "), "keep one of them, and make a run of its own for the other.")
	}
}

// notEmpty reports a list of evidence that holds nothing.
func (l *loader) notEmpty(name string, n *notes.Node) {
	if n.Kind == notes.Sequence && len(n.Items) == 0 {
		l.add(finding.Error, RuleEvidence, n.Span, fmt.Sprintf("`%s` is empty, and the run rests on nothing", name), "write down what was measured, or take the run out.")
	}
}

// checkReadings leaves the order of the rows to package runlog, which computes with them.
func (l *loader) checkReadings(rows []Reading) {
	for _, row := range rows {
		notNegative(l, "at", row.At)
		notNegative(l, "voltage", row.Voltage)
		notNegative(l, "distance", row.Distance)
		if row.At.Set && !row.Voltage.Set && !row.Current.Set && !row.Temperature.Set && !row.Speed.Set && !row.Distance.Set {
			l.add(finding.Warning, RuleEmptyReading, row.At.Span, fmt.Sprintf("the reading at %s has no value", row.At.Written), "write what was read, or take the row out.")
		}
	}
}

// checkStopwatch leaves the laps and the stops in them to package runlog, which computes with them.
func (l *loader) checkStopwatch(s *Stopwatch) {
	positive(l, "resolution", s.Resolution)
	positive(l, "lap", s.Lap)
	if v := s.Voltages; v != nil {
		positive(l, "start", v.Start)
		positive(l, "end", v.End)
	}
}

func volts(v quantity.Volts) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", float64(v)), ".0") + " V"
}
