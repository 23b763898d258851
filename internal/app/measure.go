package app

import (
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/progress"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// measureFlags are the options of measure as they are written.
type measureFlags struct {
	format, columns, time, decimal, separator, discharge string
	part                                                 string
	step, pauseAfter, idle, gap                          string
	opens, threshold, capacity                           string
	series                                               int
	accuracy                                             []string
}

func newMeasure() *cobra.Command {
	f := &measureFlags{format: "table"}
	c := &cobra.Command{
		Use:   "measure LOG [options]",
		Short: "Analyse one run log on the terminal; needs no journal",
		Long: `Measure reads one log and prints what it gives: times, charge, energy, currents,
voltages, resistance, the cutout's opening and the rebound after it, each with
its uncertainty where the instruments' accuracy is stated. How the file is
written is found out and said; every part of it can be stated instead. What the
log says twice is compared. A log of several discharges or charges is cut into
its parts, which are listed; --part measures one.
LOG is a file of delimited text, or - for standard input.`,
		Example: `  voltwright measure field-run.csv
  voltwright measure --pause-after "20 s" --accuracy voltage="±(0.5 % + 2 digits), 0.01 V" field-run.csv
  voltwright measure --part "discharge 2" cycles.csv
  voltwright measure --columns "voltage=U_pack,current=#4" --discharge negative --format json run.txt`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("measure takes one log, or - for standard input")
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error { return measure(c, args[0], f) },
	}
	fl := c.Flags()
	fl.SortFlags = false
	fl.StringVar(&f.format, "format", f.format, "`FORM` of the answer: table or json")
	fl.StringVar(&f.columns, "columns", "", "which column is what: `CHANNEL=HEAD,...`; a head, or #2 for the second column")
	fl.StringVar(&f.time, "time", "", "how time is written, one `WORD`: "+either[journal.TimeFormat]())
	fl.StringVar(&f.decimal, "decimal", "", "decimal `MARK`: "+either[journal.DecimalMark]())
	fl.StringVar(&f.separator, "separator", "", "`WORD` for what stands between the fields: "+either[journal.Separator]())
	fl.StringVar(&f.discharge, "discharge", "", "`SIGN` of a discharge current in the log: "+either[journal.Sign]())
	fl.StringVar(&f.step, "step", "", "`TIME` from row to row of a log without a time column, e.g. \"1 s\"")
	fl.StringVar(&f.part, "part", "", "measure one `PART` of a log that holds several, e.g. \"discharge 2\", or \"discharge 2 to rest 2\"")
	fl.StringVar(&f.pauseAfter, "pause-after", "", "a stop longer than this `TIME` is taken out of the running time, e.g. \"20 s\"")
	fl.StringVar(&f.idle, "idle", "", "below this `CURRENT` the vehicle stands, e.g. \"0.4 A\"")
	fl.StringVar(&f.gap, "gap", "", "a longer `TIME` between samples is not integrated across")
	fl.StringVar(&f.opens, "opens", "", "`VOLTAGE` at which the cutout is set to open, e.g. \"24.6 V\"")
	fl.StringVar(&f.threshold, "reset-threshold", "", "`VOLTAGE` above its opening at which the cutout closes again, e.g. \"1.6 V\"")
	fl.StringVar(&f.capacity, "capacity", "", "the pack's rated `CHARGE`, for full cycles, e.g. \"20 Ah\"")
	fl.IntVar(&f.series, "series", 0, "`NUMBER` of cells in series")
	fl.StringArrayVar(&f.accuracy, "accuracy", nil, "an instrument: `CHANNEL=ACCURACY, RESOLUTION`; may be given once a channel")
	for name, fixed := range map[string][]string{
		"format": {"table", "json"}, "time": words[journal.TimeFormat](), "decimal": words[journal.DecimalMark](),
		"separator": words[journal.Separator](), "discharge": words[journal.Sign](),
	} {
		_ = c.RegisterFlagCompletionFunc(name, cobra.FixedCompletions(fixed, cobra.ShellCompDirectiveNoFileComp))
	}
	return c
}

func measure(c *cobra.Command, path string, f *measureFlags) error {
	options, err := f.options()
	if err != nil {
		return err
	}
	name, log := path, c.InOrStdin()
	if path == "-" {
		name = "standard input"
	} else {
		file, err := os.Open(path)
		if err != nil {
			return unreached(err)
		}
		defer file.Close()
		if info, err := file.Stat(); err == nil && info.IsDir() {
			return unreached(fmt.Errorf("%s is a folder; measure takes one log. `voltwright inspect %s` reads a journal", path, path))
		}
		log = file
	}
	log = heard(c, log, options)
	result, found, err := runlog.Measure(finding.NewStream(name), log, options)
	if err != nil {
		return unreached(err)
	}
	var list finding.List
	list.Add(found...)
	if result == nil { // nothing could be measured: the findings are the answer
		return tell(c.ErrOrStderr(), &list)
	}
	if f.format == "json" {
		err = printMeasuredJSON(c.OutOrStdout(), name, result, list.Sorted())
	} else {
		err = printMeasured(c.OutOrStdout(), name, result)
	}
	if err != nil {
		return unreached(err)
	}
	if f.format == "json" {
		if list.Count(finding.Error) > 0 {
			return foundErrors
		}
		return nil
	}
	return tell(c.ErrOrStderr(), &list)
}

// heard is a log of which the terminal hears how much is read.
func heard(c *cobra.Command, log io.Reader, o runlog.Options) io.Reader {
	size := int64(0)
	if file, ok := log.(*os.File); ok {
		if info, err := file.Stat(); err == nil && info.Mode().IsRegular() {
			size = info.Size()
		}
	}
	if o.Part != "" { // it is read twice
		size *= 2
	}
	return progress.Read(log, lineOf(c).report().Begin(progress.Measuring, size))
}

// tell prints findings and turns errors among them into the exit status.
func tell(w io.Writer, list *finding.List) error {
	if err := finding.PrintLines(w, list.Sorted()); err != nil {
		return unreached(err)
	}
	if list.Count(finding.Error) > 0 {
		return foundErrors
	}
	return nil
}

// options turns the flags into what the reader is told; every flag that does
// not parse is wrong usage.
func (f *measureFlags) options() (runlog.Options, error) {
	o := runlog.NewOptions()
	if err := oneOf("format", f.format, "table", "json"); err != nil {
		return o, err
	}
	for _, w := range []struct {
		option, value string
		known         []string
	}{
		{"time", f.time, words[journal.TimeFormat]()},
		{"decimal", f.decimal, words[journal.DecimalMark]()},
		{"separator", f.separator, words[journal.Separator]()},
		{"discharge", f.discharge, words[journal.Sign]()},
	} {
		if w.value == "" {
			continue
		}
		if err := oneOf(w.option, w.value, w.known...); err != nil {
			return o, err
		}
	}
	o.TimeFormat, o.Decimal, o.Separator, o.Series, o.Part = f.time, f.decimal, f.separator, f.series, f.part
	if f.discharge != "" {
		negative := f.discharge == "negative"
		o.DischargeNegative = &negative
	}
	var err error
	if o.Columns, err = parseColumns(f.columns); err != nil {
		return o, err
	}
	if err := parseFlags(&o, f); err != nil {
		return o, err
	}
	for _, text := range f.accuracy {
		in, err := parseInstrument(text)
		if err != nil {
			return o, err
		}
		o.Instruments = append(o.Instruments, in)
	}
	return o, nil
}

func parseFlags(o *runlog.Options, f *measureFlags) error {
	var opens, threshold quantity.Volts
	var capacity quantity.AmpereHours
	for _, err := range []error{
		parseFlag("step", f.step, &o.Step),
		parseFlag("pause-after", f.pauseAfter, &o.PauseAfter),
		parseFlag("idle", f.idle, &o.Idle),
		parseFlag("gap", f.gap, &o.Gap),
		parseFlag("opens", f.opens, &opens),
		parseFlag("reset-threshold", f.threshold, &threshold),
		parseFlag("capacity", f.capacity, &capacity),
	} {
		if err != nil {
			return err
		}
	}
	if f.series < 0 || f.step != "" && o.Step == 0 || f.capacity != "" && capacity == 0 {
		return usage("--series, --step and --capacity must be above zero")
	}
	if f.capacity != "" {
		o.Rated = quantity.Exact(capacity)
	}
	if f.threshold != "" && f.opens == "" {
		return usage("--reset-threshold needs --opens: it counts from there")
	}
	if f.opens != "" {
		o.Cutout = &runlog.Cutout{Opens: quantity.Exact(opens), Threshold: quantity.Exact(threshold)}
		if f.threshold == "" {
			o.Cutout.Threshold = quantity.Missing[quantity.Volts]()
		}
	}
	return nil
}

// parseFlag reads a positive quantity of the kind of into; "" leaves it alone.
func parseFlag[K quantity.Kind](option, text string, into *K) error {
	if text == "" {
		return nil
	}
	q, err := quantity.ParseAs(text, (*into).Dimension())
	if err != nil {
		return usage("--%s: %v", option, err)
	}
	if q.Value < 0 {
		return usage("--%s: %s is below zero", option, text)
	}
	*into = K(q.Value)
	return nil
}

func parseColumns(text string) (map[runlog.Channel]string, error) {
	if text == "" {
		return nil, nil
	}
	columns := map[runlog.Channel]string{}
	for part := range strings.SplitSeq(text, ",") {
		word, head, ok := strings.Cut(part, "=")
		word, head = strings.TrimSpace(word), strings.TrimSpace(head)
		if !ok || head == "" {
			return nil, usage("--columns: `%s` is not CHANNEL=HEAD, as in voltage=U_pack", part)
		}
		channel, err := parseChannel("columns", word)
		if err != nil {
			return nil, err
		}
		columns[channel] = head
	}
	return columns, nil
}

func parseChannel(option, word string) (runlog.Channel, error) {
	channel, ok := runlog.ParseChannel(word)
	if !ok {
		var known []string
		for _, c := range runlog.Channels() {
			known = append(known, c.String())
		}
		return 0, usage("--%s: there is no channel `%s`%s; there are %s", option, word, didYouMean(word, known), strings.Join(known, ", "))
	}
	return channel, nil
}

// parseInstrument reads `voltage=±(0.5 % + 2 digits), 0.01 V`.
func parseInstrument(text string) (runlog.Instrument, error) {
	var in runlog.Instrument
	word, rest, ok := strings.Cut(text, "=")
	if !ok {
		return in, usage("--accuracy: `%s` is not CHANNEL=ACCURACY, RESOLUTION, as in voltage=\"±(0.5 %% + 2 digits), 0.01 V\"", text)
	}
	var err error
	if in.Channel, err = parseChannel("accuracy", strings.TrimSpace(word)); err != nil {
		return in, err
	}
	accuracy, resolution, _ := strings.Cut(rest, ",")
	if in.Accuracy, err = quantity.ParseAccuracy(strings.TrimSpace(accuracy)); err != nil {
		return in, usage("--accuracy: %v", err)
	}
	if resolution = strings.TrimSpace(resolution); resolution != "" {
		dimension := in.Channel.Dimension()
		if dimension == quantity.Temperature {
			dimension = quantity.TemperatureDifference
		}
		q, err := quantity.ParseAs(resolution, dimension)
		if err != nil {
			return in, usage("--accuracy: resolution: %v", err)
		}
		in.Resolution = q.Value
	}
	if in.Accuracy.Digits > 0 && !(in.Resolution > 0) {
		return in, usage("--accuracy: %s counts digits; add what the last one is worth, as in voltage=\"±(0.5 %% + 2 digits), 0.01 V\"", in.Accuracy)
	}
	return in, nil
}
