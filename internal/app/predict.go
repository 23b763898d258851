package app

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"voltwright/internal/battery"
	"voltwright/internal/drivetrain"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/study"
	"voltwright/internal/wiring"
)

// predictFlags are the options of predict as they are written.
type predictFlags struct {
	format, dir, load, like, duty, payload, temperature string
	set, taughtBy                                       []string
	matrix                                              bool
	pack                                                packFlags
	means                                               func() means
}

// packFlags state a pack where there is no journal.
type packFlags struct {
	chemistry, capacity, resistance, full, opens, threshold, delay string
	series                                                         int
}

func newPredict() *cobra.Command {
	f := &predictFlags{format: "table", dir: "content"}
	c := &cobra.Command{
		Use:   "predict [VEHICLE/VERSION] [options]",
		Short: "Predict run time, charge time, speed and voltage drop of a version, with any value changed",
		Long: `Predict computes how long a version of the journal runs, how long it charges, what
the use does to its packs, which input matters most, how it drives and what its
wiring loses. It is calibrated on the
version's own logs where they can teach; with none it keeps to what is typical
of the chemistry, and its intervals are wide. Each run is also predicted by what
the others teach, and how far off that was stands beside every answer.

--set changes any value of the version's front matter by its path of keys; an item
of a list is called by its number, its name, or words that the name begins with.
A pack of another capacity has more or fewer of the same cells: its stated resistance
goes with it unless that is set as well.
--taught-by chooses the runs that it is calibrated on; the others are only held against
them. The key taught-by of the version's front matter does the same for its pages.
--matrix tries the choices instead, whichever that key names: each run alone, all but
each, and each pair of up to five, and prints how the others stand at the answer's voltage.
--payload scales what the runs drew to another mass on the same way.
Without a journal, --chemistry, --series, --capacity and --load are enough.`,
		Example: `  voltwright predict shunter/2-lifepo4
  voltwright predict shunter/3-second-pack --set "packs.second.capacity=30 Ah" --set "cutout.opens=25 V"
  voltwright predict shunter/3-second-pack --payload "220 kg" --share "40 %"
  voltwright predict shunter/3-second-pack --set "drive.ratio=11" --set "controller.setting=85 %"
  voltwright predict barrow/2-larger-pack --load "240 W" --like field-2026-05-09
  voltwright predict barrow/2-larger-pack --load "6 A" --share "50 %" --temperature "2 °C"
  voltwright predict shunter/3-second-pack --taught-by bench-2026-02-21
  voltwright predict shunter/3-second-pack --matrix
  voltwright predict --chemistry lfp --series 4 --capacity "12 Ah" --opens "12.2 V" --load "90 W"`,
		Args: atMostOne("version"),
		ValidArgsFunction: func(c *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			return f.versions(args), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(c *cobra.Command, args []string) error { return runPredict(c, args, f) },
	}
	fl := c.Flags()
	fl.SortFlags = false
	f.means = keeping(c)
	fl.StringVar(&f.dir, "journal", f.dir, "`FOLDER` of the journal")
	fl.StringArrayVar(&f.set, "set", nil, "`KEY=VALUE` instead of what the front matter says, e.g. packs.1.capacity=\"30 Ah\"; may be given often")
	fl.StringSliceVar(&f.taughtBy, "taught-by", nil, "`RUN` that teaches what the packs do, the others being only checked; may be given often, or several with commas between them")
	fl.BoolVar(&f.matrix, "matrix", false, "instead of the answers, try every choice of runs that teach and hold the others against it")
	fl.StringVar(&f.load, "load", "", "a steady load instead of those of the runs: a current, a power or a resistance, `VALUE` with its unit, e.g. \"8 A\"")
	fl.StringVar(&f.like, "like", "", "`RUN` as whose the time of --load is counted: with its stops and by its stop rule")
	fl.StringVar(&f.duty, "share", "", "`SHARE` of the time that the load, or that of a run, is on, e.g. \"60 %\"")
	fl.StringVar(&f.payload, "payload", "", "`MASS` that is carried instead of what was on the runs, e.g. \"180 kg\": their loads are scaled")
	fl.StringVar(&f.temperature, "temperature", "", "`TEMPERATURE` of pack and air, e.g. \"2 °C\"")
	fl.StringVar(&f.format, "format", f.format, "`FORM` of the answer: table or json")
	fl.StringVar(&f.pack.chemistry, "chemistry", "", "without a journal: what the cells are, one `WORD`: "+either[journal.Chemistry]())
	fl.IntVar(&f.pack.series, "series", 0, "without a journal: `NUMBER` of cells in series")
	fl.StringVar(&f.pack.capacity, "capacity", "", "without a journal: `CHARGE` of the pack, e.g. \"12 Ah\"")
	fl.StringVar(&f.pack.resistance, "resistance", "", "without a journal: internal `RESISTANCE` of the pack, e.g. \"20 mΩ\"")
	fl.StringVar(&f.pack.full, "full", "", "without a journal: `VOLTAGE` at the end of a charge")
	fl.StringVar(&f.pack.opens, "opens", "", "without a journal: `VOLTAGE` at which the cutout opens")
	fl.StringVar(&f.pack.threshold, "reset-threshold", "", "without a journal: `VOLTAGE` above its opening at which the cutout closes again")
	fl.StringVar(&f.pack.delay, "delay", "", "without a journal: `TIME` that the voltage must stay low before the cutout opens")
	fl.StringVar(&f.duty, "duty", "", "what --share was called")
	_ = fl.MarkHidden("duty")
	_ = c.MarkFlagDirname("journal")
	_ = c.RegisterFlagCompletionFunc("format", cobra.FixedCompletions([]string{"table", "json"}, cobra.ShellCompDirectiveNoFileComp))
	_ = c.RegisterFlagCompletionFunc("chemistry", cobra.FixedCompletions(words[journal.Chemistry](), cobra.ShellCompDirectiveNoFileComp))
	_ = c.RegisterFlagCompletionFunc("taught-by", func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		return f.runsOf(args), cobra.ShellCompDirectiveNoFileComp
	})
	_ = c.RegisterFlagCompletionFunc("set", cobra.FixedCompletions(settable(), cobra.ShellCompDirectiveNoSpace|cobra.ShellCompDirectiveNoFileComp))
	return c
}

func runPredict(c *cobra.Command, args []string, f *predictFlags) error {
	if err := oneOf("format", f.format, "table", "json"); err != nil {
		return err
	}
	if c.Flags().Changed("series") && f.pack.series < 1 {
		return usage("--series: %d cannot be: a pack has one cell or more in series", f.pack.series)
	}
	if c.Flags().Changed("duty") {
		fmt.Fprintln(c.ErrOrStderr(), "--duty is now --share: a duty is that of a speed controller.")
	}
	options, err := f.options()
	if err != nil {
		return err
	}
	if f.matrix && f.pack == (packFlags{}) {
		return f.tryAll(c, args)
	}
	var (
		title   string
		answers *predict.Prediction
		moved   moved
		found   finding.List
	)
	if f.pack != (packFlags{}) {
		title, answers, err = f.alone(args, options)
	} else {
		title, answers, moved, err = f.fromJournal(args, options, &found)
	}
	if err != nil {
		return err
	}
	if answers == nil { // the findings are the answer
		return tell(c.ErrOrStderr(), &found)
	}
	if f.format == "json" {
		err = printPredictedJSON(c.OutOrStdout(), title, f.set, answers, moved, found.Sorted())
	} else {
		err = printPredicted(c.OutOrStdout(), title, f.set, answers, moved)
	}
	if err != nil {
		return unreached(err)
	}
	if f.format == "json" {
		if found.Count(finding.Error) > 0 {
			return foundErrors
		}
		return nil
	}
	return tell(c.ErrOrStderr(), &found)
}

// options turns the flags into what is asked.
func (f *predictFlags) options() (predict.Options, error) {
	o := predict.Options{OwnPacksOnly: true}
	duty := quantity.Fraction(1)
	if err := parseFlag("duty", f.duty, &duty); err != nil {
		return o, err
	}
	if duty <= 0 || duty > 1 {
		return o, usage("--share: %s cannot be: it must be above 0 %% and at most 100 %%", f.duty)
	}
	if f.duty != "" && f.load == "" {
		o.Duty = duty
	}
	if f.payload != "" {
		q, err := quantity.ParseAs(f.payload, quantity.Mass)
		switch {
		case err != nil:
			return o, usage("--payload: %v", err)
		case !(q.Value >= 0):
			return o, usage("--payload: %s cannot be: it must be 0 kg or more", f.payload)
		case f.load != "":
			return o, usage("--payload scales the loads of the runs; with --load the load is as you say")
		}
		payload, err := quantity.As[quantity.Kilograms](q)
		if err != nil {
			return o, usage("--payload: %v", err)
		}
		o.Payload = &payload
	}
	if f.temperature != "" {
		q, err := quantity.ParseAs(f.temperature, quantity.Temperature)
		if err != nil {
			return o, usage("--temperature: %v", err)
		}
		o.Ambient, o.HoldAmbient = quantity.Exact(quantity.Celsius(q.Value)), true
	}
	switch {
	case f.like != "" && f.load == "":
		return o, usage("--like counts the time of --load; without it the loads of the runs are computed, each counted as its own")
	case f.like != "" && f.duty != "":
		return o, usage("--like takes the stops of a run, and --share states others: give one of them")
	case f.load == "":
		return o, nil
	}
	o.CountedLike = f.like
	load, err := parseLoad(f.load)
	if err != nil {
		return o, err
	}
	o.Asked = []predict.Load{predict.NewLoad("asked", "as asked", predict.AskedLoad, load, strings.TrimSpace(f.load), duty)}
	return o, nil
}

// parseLoad reads a current, a power or a resistance.
func parseLoad(text string) (battery.Load, error) {
	q, err := quantity.Parse(text)
	if err != nil {
		return battery.Load{}, usage("--load: %v", err)
	}
	switch {
	case q.Value < 0:
		return battery.Load{}, usage("--load: %s would charge; write what is drawn, above zero", text)
	case !(q.Value > 0):
		return battery.Load{}, usage("--load: %s draws nothing, so nothing runs down; write a value above zero", text)
	}
	switch q.Dimension {
	case quantity.Current:
		return battery.Drawing(quantity.Amperes(q.Value)), nil
	case quantity.Power:
		return battery.Delivering(quantity.Watts(q.Value)), nil
	case quantity.Resistance:
		return battery.Across(quantity.Ohms(q.Value)), nil
	}
	return battery.Load{}, usage("--load: %s is none of a current such as 8 A, a power such as 90 W, a resistance such as 3 Ω", text)
}

// alone answers for a pack that the flags state.
func (f *predictFlags) alone(args []string, o predict.Options) (string, *predict.Prediction, error) {
	p := f.pack
	switch {
	case len(args) > 0 || len(f.set) > 0:
		return "", nil, usage("--chemistry, --series and the like state a pack without a journal; with a version use --set, as in --set \"packs.1.capacity=12 Ah\"")
	case p.chemistry == "" || p.series < 1 || p.capacity == "":
		return "", nil, usage("without a journal a pack needs --chemistry, --series and --capacity")
	case len(f.taughtBy) > 0 || f.matrix:
		return "", nil, usage("--taught-by and --matrix are of the runs of a version; a pack without a journal has none")
	case o.CountedLike != "":
		return "", nil, usage("--like names a run of a version; a pack without a journal has none")
	case len(o.Asked) == 0:
		return "", nil, usage("without a journal there is no run that shows a load: state one with --load, as in --load \"8 A\"")
	case p.opens == "" && (p.threshold != "" || p.delay != ""):
		return "", nil, usage("--reset-threshold and --delay belong to a cutout: state at what voltage it --opens")
	}
	if err := oneOf("chemistry", p.chemistry, words[journal.Chemistry]()...); err != nil {
		return "", nil, err
	}
	chemistry, err := battery.ChemistryNamed(p.chemistry)
	if err != nil {
		return "", nil, usage("--chemistry: %v", err)
	}
	pack := predict.Pack{Name: "the pack", Chemistry: chemistry, Series: p.series}
	var b predict.Bank
	var cutout battery.Cutout
	for _, err := range []error{
		parseMeasured("capacity", p.capacity, &pack.Capacity), parseMeasured("resistance", p.resistance, &pack.Resistance), parseMeasured("full", p.full, &pack.Full),
		parseFlag("opens", p.opens, &cutout.Opens), parseFlag("delay", p.delay, &cutout.Delay),
	} {
		if err != nil {
			return "", nil, err
		}
	}
	if p.opens != "" {
		cutout.ResetThreshold = quantity.Missing[quantity.Volts]().Value
		if err := parseFlag("reset-threshold", p.threshold, &cutout.ResetThreshold); err != nil {
			return "", nil, err
		}
		b.Cutout = &cutout
	}
	b.Packs = []predict.Pack{pack}
	title := fmt.Sprintf("A pack of %d cells in series, %s, %s", p.series, chemistry.Title, pack.Capacity)
	return title, predict.Compute(b, nil, o), nil
}

// parseMeasured reads a positive quantity with its uncertainty, as in "12.0 Ah ± 0.4 Ah"; "" is missing.
func parseMeasured[K quantity.Kind](option, text string, into *quantity.Measured[K]) error {
	*into = quantity.Missing[K]()
	if text == "" {
		return nil
	}
	var k K
	q, err := quantity.ParseAs(text, k.Dimension())
	if err != nil {
		return usage("--%s: %v", option, err)
	}
	if *into, err = quantity.As[K](q); err != nil {
		return usage("--%s: %v", option, err)
	}
	if !(into.Value > 0) {
		return usage("--%s: %s cannot be: it must be above zero", option, text)
	}
	return nil
}

// fromJournal answers for a version of the journal. No answers: the findings say why.
func (f *predictFlags) fromJournal(args []string, o predict.Options, found *finding.List) (string, *predict.Prediction, moved, error) {
	s, version, done, err := f.measured(args, found)
	if err != nil || version == nil {
		return "", nil, moved{}, err
	}
	defer done()
	title := version.Path() + ": " + version.Name.Text
	o.Stated = study.StatedLoads(version)
	answers := s.Ask(version, o)
	s.Results.Predictions = map[string]*predict.Prediction{version.Path(): answers}
	refuseCharger(version, answers)
	return title, answers, f.moves(version, s.Results, o), nil
}

// measured is the version that is asked for with what is put in place, its runs measured. No version: the findings say why. done closes
// the journal's folder.
func (f *predictFlags) measured(args []string, found *finding.List) (s *study.Study, version *journal.Version, done func(), err error) {
	folder, err := notes.Open(f.dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil, nil, unreached(fmt.Errorf("there is no folder %s; name the journal with --journal, or state a pack with --chemistry, --series and --capacity", f.dir))
	}
	if err != nil {
		return nil, nil, nil, unreached(err)
	}
	defer func() {
		if err != nil || version == nil {
			_ = folder.Close() // it was only read
		}
	}()
	var all finding.List
	j := journal.Load(folder, &all)
	if version, err = pick(j, args); err != nil {
		return nil, nil, nil, err
	}
	if version, err = taught(version, f.taughtBy); err != nil {
		return nil, nil, nil, err
	}
	m := f.means()
	s = study.New(folder, j, m.store)
	s.Told = m.told()
	s.MeasureOf(version, &all)
	for _, x := range all.Sorted() { // what is wrong elsewhere in the journal does not bear on the version
		if x.Level == finding.Error && x.Span.Source != nil && strings.HasPrefix(x.Span.Source.Name, version.Path()+"/") {
			found.Add(x)
		}
	}
	if len(f.set) > 0 {
		settings, err := f.settings()
		if err != nil {
			return nil, nil, nil, err
		}
		var list finding.List
		changed := version.With(settings, &list)
		if list.Count(finding.Error) > 0 {
			found.Add(list.Sorted()...)
			return nil, nil, nil, nil
		}
		version = changed.TaughtByRuns(f.taughtBy)
	}
	return s, version, func() { _ = folder.Close() }, nil
}

// taught is the version with the runs that --taught-by names as those that teach.
func taught(v *journal.Version, names []string) (*journal.Version, error) {
	slugs := v.RunNames()
	for _, name := range names {
		switch {
		case slices.Contains(slugs, name):
		case len(slugs) == 0:
			return nil, usage("--taught-by: %s has no run", v.Path())
		default:
			return nil, usage("--taught-by: %s has no run `%s`%s; it has %s", v.Path(), name, didYouMean(name, slugs), list(slugs, "and"))
		}
	}
	return v.TaughtByRuns(names), nil
}

// moved is what a version's motors and wiring do; nil where it states none.
type moved struct {
	driven *drivetrain.Performance
	wired  *wiring.Analysis
}

// moves computes how the version drives, and what its wiring loses, with what is asked.
func (f *predictFlags) moves(v *journal.Version, results *study.Results, o predict.Options) moved {
	var m moved
	if v.StatesDrive() {
		in := study.DriveInput(v, results)
		if o.Payload != nil {
			in.Payload = *o.Payload
		}
		if len(f.set) > 0 { // the runs were made as the front matter has it
			in.Runs = nil
		}
		m.driven = drivetrain.Compute(in)
		results.Drives = map[string]*drivetrain.Performance{v.Path(): m.driven}
	}
	m.wired = study.Wiring(v, results)
	return m
}

// settings are the values of --set.
func (f *predictFlags) settings() ([]journal.Setting, error) {
	var out []journal.Setting
	for _, text := range f.set {
		path, value, ok := strings.Cut(text, "=")
		if !ok || strings.TrimSpace(path) == "" || strings.TrimSpace(value) == "" {
			return nil, usage("--set: `%s` is not KEY=VALUE, as in packs.1.capacity=\"30 Ah\"", text)
		}
		out = append(out, journal.Setting{Path: strings.TrimSpace(path), Value: strings.TrimSpace(value)})
	}
	return out, nil
}

// pick finds the version that is asked for; the only one needs no name.
func pick(j *journal.Journal, args []string) (*journal.Version, error) {
	var paths []string
	var only *journal.Version
	for _, vehicle := range j.Vehicles {
		for _, v := range vehicle.Versions {
			if len(args) > 0 && strings.Trim(args[0], "/") == v.Path() {
				return v, nil
			}
			paths = append(paths, v.Path())
			only = v
		}
	}
	switch {
	case len(paths) == 0:
		return nil, usage("the journal has no version yet; state a pack with --chemistry, --series and --capacity")
	case len(args) > 0:
		return nil, usage("the journal has no version `%s`%s; it has %s", args[0], didYouMean(args[0], paths), list(paths, "and"))
	case len(paths) > 1:
		return nil, usage("name the version, one of %s", list(paths, "or"))
	}
	return only, nil
}

// settable are the beginnings of what --set takes.
func settable() []string {
	var out []string
	for _, d := range journal.Keys() {
		for _, group := range []string{"packs", "cutout", "controller", "motors", "drive", "masses", "wiring"} {
			if rest, ok := strings.CutPrefix(d.Name, group+"."); ok {
				if group == "packs" || group == "motors" {
					rest = "1." + rest
				}
				out = append(out, group+"."+rest+"=\t"+d.Title)
			}
		}
	}
	return out
}

// versions completes the name of a version.
func (f *predictFlags) versions(args []string) []string {
	if len(args) > 0 {
		return nil
	}
	return versionsOf(f.dir)
}

// runsOf are the runs of the version that is named already.
func (f *predictFlags) runsOf(args []string) []string {
	return offered(f.dir, func(j *journal.Journal, offer func(name, title string)) {
		if v, err := pick(j, args); err == nil {
			for _, r := range v.Runs {
				offer(r.Slug, r.Name.Text)
			}
		}
	})
}
