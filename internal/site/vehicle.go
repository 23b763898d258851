package site

import (
	"html/template"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// vehicleView is the view of a vehicle's page.
type vehicleView struct {
	Story    template.HTML
	Answer   *answer
	Straight []link // into the sheets of the version that stands for it now
	Latest   string
	Versions *versionTable
	Spec     *specTable
	Times    *runsTable
	Cautions []string // where there is a spec
	Across   *link
}

type versionTable struct {
	caption
	Computed bool // some row has a computed time
	Rows     []versionRow
}

type versionRow struct {
	Version link
	Number  int
	Date    *day
	State   string
	Summary string
	Ran     numeral
	RanOn   string
	Run     numeral // as it is computed
	RunOn   []phrase
}

// specTable is the specs of several versions side by side.
type specTable struct {
	caption
	Versions []link
	Groups   []specGroup
}

// answer is what a page says first, in large letters, and the sentences under it.
type answer struct {
	Before, Value, Plus string
	Kind                kind
	Lines               [][]phrase
}

func (b *builder) vehicle(s *sheet, v *journal.Vehicle) error {
	view := vehicleView{}
	if latest := latestOf(v); latest != nil {
		view.Answer = b.answerOf(s, latest, ", version "+versionNumber(latest)+".")
		view.Straight, view.Latest = b.straightTo(s, latest), "version "+versionNumber(latest)
	}
	if len(v.Versions) > 0 {
		view.Versions = &versionTable{caption: s.table("versions", "The versions, in the order in which they were built.")}
		var specs [][]specItem
		t := &specTable{}
		for _, version := range v.Versions {
			row := versionRow{Version: link{Words: version.Name.Text, Href: s.to(versionPage(version))}, Number: version.Number,
				Date: dayOf(version.Date), State: string(version.State.Value), Summary: version.Summary.Text}
			if run := b.best(version); run != nil {
				row.Ran, row.RanOn = b.figure(s, run, "running-time"), b.ranOn(run)
			}
			if c, ok := b.computedAt(version, b.best(version)); ok {
				row.Run, row.RunOn = runTime(c.reach.Running, s.to(versionPage(version))+c.anchor()), b.computedOn(s, version, c)
				view.Versions.Computed = true
			}
			view.Versions.Rows = append(view.Versions.Rows, row)
			specs = append(specs, b.spec(s, version))
			t.Versions = append(t.Versions, link{Words: "Version " + versionNumber(version), Href: row.Version.Href})
		}
		view.Spec = t
		t.Groups = sideBySide(specs)
	}
	if hasAcross(v) {
		view.Across = &link{Words: "The versions held against each other", Href: s.to(acrossPage(v)), Note: "what is larger than its uncertainty, and what cannot be compared"}
	}
	story, err := b.prose(s, v.Document, 2)
	if err != nil {
		return err
	}
	view.Story = story
	if t, ok := b.runsOf(s, v.Versions, ""); ok {
		view.Times = &t
	}
	if view.Spec != nil && len(view.Spec.Groups) == 0 {
		view.Spec = nil
	}
	if view.Spec != nil {
		words := "The spec of each version. What differs from the version before is in bold with an arrow."
		if len(v.Versions) == 1 {
			words = "The spec."
		}
		view.Spec.caption = s.table("spec", words)
		view.Cautions = cautionsOf(v.Versions...)
	}
	b.inspect(s, []string{v.Note.Path}, nil)
	s.Block.Type, s.Block.Issued = "Vehicle", dayOf(newest(datesOf(v)...))
	s.Block.Revision = count(len(v.Versions), "version")
	s.Marks, s.Body = true, view
	return nil
}

// computedOn says under what the computed time of a version is computed.
func (b *builder) computedOn(s *sheet, v *journal.Version, c computedRun) []phrase {
	out := append([]phrase{say("to " + c.to + ", ")}, b.where(s, v, c, b.best(v))...)
	if others := c.others(""); len(others) > 0 {
		out = append(append(out, say("; ")), others...)
	}
	return out
}

// answering puts a number in large letters.
func answering(before string, n numeral) *answer {
	unit := ""
	if n.Unit != "" {
		unit = " " + n.Unit
	}
	a := &answer{Before: before, Value: n.Int + n.Frac + unit, Kind: n.Kind}
	if n.Plus != "" {
		a.Plus = n.Plus + unit
	}
	return a
}

// answerOf says how long a version runs, and on what run that was measured; nil where no run says.
func (b *builder) answerOf(s *sheet, v *journal.Version, end string) *answer {
	run := b.best(v)
	c, ok := b.computedAt(v, run)
	if run == nil && !ok {
		return nil
	}
	if run == nil {
		a := answering("Computed", runTime(c.reach.Running, ""))
		line := append([]phrase{say("Not measured yet: from full to " + c.to + ", ")}, b.where(s, v, c, nil)...)
		a.Lines = append(a.Lines, append(line, say(end)), b.counted(s, v, c))
		return a
	}
	a := answering("Ran", b.figure(s, run, "running-time"))
	a.Lines = append(a.Lines, []phrase{say("Measured on a "), {Text: b.ranOn(run), Href: s.to(runPage(run))}, say(end)})
	var why []string
	if run.Ended.Set {
		why = append(why, "What ended it: "+strings.TrimSuffix(run.Ended.Text, ".")+".")
	}
	if v.Cutout != nil && openedCutout(b.result(run)) == nil {
		why = append(why, "The cutout did not open, so it is not the longest that it can run.")
	}
	if len(why) > 0 {
		a.Lines = append(a.Lines, []phrase{say(strings.Join(why, " "))})
	}
	if ok && openedCutout(b.result(run)) == nil {
		a.Lines = append(a.Lines, b.computedLine(s, v, c, run))
	}
	return a
}

// versionView is the view of a version's page.
type versionView struct {
	Vehicle    link
	Number     int
	State      string
	Date       *day
	Follows    *link
	Superseded *successorView
	Answer     *answer
	Glance     []specGroup
	Spec       *specTable
	Story      template.HTML
	Parts      *partsView
	Wiring     *wiringView
	Forecast   *forecastView
	Times      *runsTable
	Matters    *matterView
	Chatter    *chatterView
	Charging   *chargingView
	Driving    *drivingView
	Cautions   []string
	Lithium    bool
	Changes    *changesView
	Across     *link
}

func (b *builder) version(s *sheet, v *journal.Version) error {
	forecast, err := b.forecast(s, v)
	if err != nil {
		return err
	}
	driving := b.driving(s, v)                             // above the story, so its tables are numbered first
	if a := b.answers(v); a != nil && len(a.Charges) > 0 { // it stands below the story and has no number yet
		s.showOf(notes.TableScheme, "charge-time", v.Path(), caption{Anchor: "table-charge-time", Label: "The table of charge times"})
	}
	var drawn *wiringView
	if b.wired(v) != nil {
		drawn = &wiringView{}
		if err := b.drawings(s, v, drawn); err != nil {
			return err
		}
	}
	story, err := b.prose(s, v.Document, 2)
	if err != nil {
		return err
	}
	view := versionView{Wiring: drawn, Forecast: forecast, Driving: driving, Number: v.Number, Vehicle: link{Words: v.Vehicle.Name.Text, Href: s.to(vehiclePage(v.Vehicle))},
		State: string(v.State.Value), Date: dayOf(v.Date), Story: story}
	if v.Before != nil {
		view.Follows = &link{Words: versionWords(v.Before), Href: s.to(versionPage(v.Before))}
	}
	view.Superseded = b.superseded(s, v)
	view.Answer = b.answerOf(s, v, ".")
	if t, ok := b.runsOf(s, []*journal.Version{v}, ""); ok {
		view.Times = &t
	}
	if view.Matters, err = b.matters(s, v); err != nil {
		return err
	}
	view.Chatter, view.Charging = b.chatter(s, v), b.charging(s, v)
	if view.Wiring != nil {
		if err := b.wiring(s, v, view.Wiring); err != nil {
			return err
		}
	}
	if view.Parts, err = b.parts(s, v); err != nil {
		return err
	}
	view.Changes = b.changes(s, v)
	if hasAcross(v.Vehicle) {
		view.Across = &link{Words: "All versions held against each other", Href: s.to(acrossPage(v.Vehicle))}
	}
	b.versionSpec(s, v, &view)
	own, also := []string{v.Note.Path}, []string{}
	if v.PartsSource != "" {
		own = append(own, v.PartsSource)
	}
	dates := newest(v.Date)
	for _, r := range v.Runs {
		also = append(also, r.Note.Path)
		if r.Log != nil && r.Log.Path != "" {
			also = append(also, r.Log.Path)
		}
		dates = newest(dates, r.Date)
	}
	b.inspect(s, own, also)
	view.Cautions = cautionsOf(v)
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Version", dayOf(dates), "version "+versionNumber(v)
	s.Marks, s.Body = true, view
	return nil
}

func (b *builder) versionSpec(s *sheet, v *journal.Version, view *versionView) {
	spec := b.spec(s, v)
	var glance []specItem
	for _, item := range spec {
		if item.Glance {
			glance = append(glance, item)
		}
	}
	view.Glance = sideBySide([][]specItem{glance})
	specs, versions := [][]specItem{spec}, []link{{Words: "Version " + versionNumber(v)}}
	words := "The whole spec."
	if v.Before != nil {
		specs = [][]specItem{b.spec(s, v.Before), spec}
		versions = []link{{Words: "Version " + versionNumber(v.Before), Href: s.to(versionPage(v.Before))}, versions[0]}
		words = "The whole spec beside that of the version before. What differs is in bold with an arrow."
	}
	if len(spec) > 0 {
		view.Spec = &specTable{caption: s.table("spec", words), Versions: versions, Groups: sideBySide(specs)}
	}
}

// riders is what whoever rides must know: it stands wherever one is described or driven, and on no sheet for the bench.
const riders = "It is not safe for children by themselves: they ride and drive only with an adult within reach of them and of the switch. Hands, feet, hair and loose clothes stay clear of wheels and gears. The key, the packs and the charger are kept where no child gets at them. A converted vehicle is no tested toy."

// cautionsOf are the cautions of a vehicle that is driven: those of its making, and what its riders must know.
func cautionsOf(versions ...*journal.Version) []string {
	said := cautions(versions...)
	return slices.Insert(said, len(said)-1, riders)
}

// cautions are those that go with every build, whatever its numbers.
func cautions(versions ...*journal.Version) []string {
	said := []string{
		"Disconnect the pack before you work on the wiring; cover its terminals. A pack cannot be switched off.",
		"Fuse every pack at its positive terminal, with a fuse rated for direct current at the pack's full voltage.",
		"Take off rings and watches. Wear eye protection when you crimp, cut or make the last connection. A crimp is made with the tool and the size that its maker names, and pulled at before it is trusted.",
		"Mains chargers are bought ready made and whole, kept dry, and used behind a residual-current device. What is inside one is for an electrician.",
	}
	lithium, lead := false, false
	for _, v := range versions {
		for _, p := range v.Packs {
			family := p.Chemistry.Value.Family()
			lithium = lithium || family == "lithium-ion" || family == "sodium-ion"
			lead = lead || family == "lead-acid"
		}
	}
	if lithium {
		said = append(said, "Charge lithium-ion packs only with a charger made for their chemistry and their number of cells in series, watched, on a surface that does not burn; never below 0 °C at its cells, and slowly below 15 °C, unless their own data sheet says otherwise. A pack that is swollen, dented or was flat for long is not charged again.",
			"If a lithium-ion pack smokes, hisses or burns: get everybody away and out of the smoke, shut the door behind you, and call the fire service; tell them what burns. Ask your local fire service beforehand what it advises.",
			"Carry packs with their terminals covered and a fuse or plug taken out. Carriers have rules of their own for lithium-ion, above all for damaged packs. Old packs go to a collection point, never into household waste.")
	}
	if lead {
		said = append(said, "Charge lead-acid batteries in the open air, away from sparks: they give off hydrogen. The acid burns skin and eyes: have water at hand. Old batteries go back to the trade.")
	}
	return append(said, "Local codes and the makers' instructions come first; where a licensed trade is called for, call it in. This page describes what one maker did, and is no instruction.")
}

func versionNumber(v *journal.Version) string { return strconv.Itoa(v.Number) }
