package begin

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// Answers are a maker's short answers about a vehicle that is begun, in their own words; an empty one is left out of the
// draft. [Asking] has an example of each.
type Answers struct {
	Vehicle string // what it is: "The barrow"
	Packs   string // "2 × lfp, 8 in series, 20 Ah"
	Charger string // "28.8 V, 5 A"
	Motors  string // "2 × 24 V, 150 W"
	Rider   string // "nobody, work", "child, 8, toy"
	Date    string // the day from which the first version runs
}

// Asking is one of the questions that a new vehicle is begun with.
type Asking struct {
	Option  string // the option that takes the answer on a command line
	Words   string
	Example string
	Answer  func(*Answers) *string
}

// Askings are the questions, in the order in which they are asked.
func Askings() []Asking {
	return []Asking{
		{"vehicle", "What is it?", "The barrow", func(a *Answers) *string { return &a.Vehicle }},
		{"packs", "Which packs?", "2 × lfp, 8 in series, 20 Ah", func(a *Answers) *string { return &a.Packs }},
		{"charger", "Which charger?", "28.8 V, 5 A", func(a *Answers) *string { return &a.Charger }},
		{"motors", "What drives it?", "24 V, 250 W", func(a *Answers) *string { return &a.Motors }},
		{"rider", "Who rides?", "child, 8, toy", func(a *Answers) *string { return &a.Rider }},
		{"date", "From which day?", "2026-05-09", func(a *Answers) *string { return &a.Date }},
	}
}

// Vehicle drafts a vehicle and its first version from what the maker answered. The error names the answer that cannot be
// read, and how it is written.
func Vehicle(a Answers) (*Draft, error) {
	slug := journal.PlainName(a.Vehicle)
	if slug == "" {
		return nil, unread("vehicle", a.Vehicle, "has no letter or digit that a folder can be named after")
	}
	var date notes.Date
	if a.Date != "" {
		var err error
		if date, err = notes.ParseDate(a.Date); err != nil {
			return nil, unread("date", a.Date, "is no day of the calendar")
		}
	}
	d := &Draft{}
	var b strings.Builder
	b.WriteString("---\nkind: version\n")
	d.ask(&b, Ask{Name: "The first version", Date: date}, "", "the day from which it runs, such as 2026-05-09")
	b.WriteString("state: planned\n")
	chemistry, err := packs(&b, a.Packs)
	if err == nil {
		err = charger(&b, a.Charger, chemistry)
	}
	if err == nil {
		err = motors(&b, a.Motors)
	}
	if err == nil {
		err = rider(&b, a.Rider)
	}
	if err != nil {
		return nil, err
	}
	b.WriteString("---\n\nWhat is built and why: to be written.\n")
	d.Files = []File{
		{slug + "/vehicle.md", fmt.Appendf(nil, "---\nkind: vehicle\nname: %s\n---\n\nWhat it is, where it runs and what it has to carry: to be written.\n", quoted(a.Vehicle))},
		{slug + "/1-first/version.md", []byte(b.String())},
	}
	return d, nil
}

// AnswerError is an answer that cannot be taken.
type AnswerError struct {
	Option  string // of the question, as in [Asking]
	Answer  string
	Why     string // it cannot be taken
	Example string // of an answer that can
}

// Error names the option, for whoever answered by options.
func (e *AnswerError) Error() string { return "--" + e.Option + ": " + e.Said() }

// Said is the same for whoever has just been asked.
func (e *AnswerError) Said() string {
	return fmt.Sprintf("%q %s; write it as in %q", e.Answer, e.Why, e.Example)
}

func unread(option, answer, why string) error {
	i := slices.IndexFunc(Askings(), func(q Asking) bool { return q.Option == option })
	return &AnswerError{option, answer, why, Askings()[i].Example}
}

// severalOf is a number of things that are alike, before what they are.
var severalOf = regexp.MustCompile(`^(\d{1,2}) *[×xX] *(.+)$`)

// several parts an answer into how many there are and what each is.
func several(answer string) (n int, each string) {
	if m := severalOf.FindStringSubmatch(answer); m != nil {
		n, _ = strconv.Atoi(m[1]) // of digits, checked
		return n, m[2]
	}
	return 1, answer
}

var (
	inSeries    = regexp.MustCompile(`\b(\d{1,3}) *(?:[sS]\b|in series\b|cells?(?: in series)?\b)`)
	ofCapacity  = regexp.MustCompile(`\b\d+(?:\.\d+)? *m?Ah\b`)
	chemistryIn = map[string]string{"lifepo4": "lfp", "agm": "lead-acid-agm", "gel": "lead-acid-gel", "flooded": "lead-acid-flooded"} // words of the trade
)

// packs writes the packs and gives their chemistry; "" where none were named.
func packs(b *strings.Builder, answer string) (chemistry string, err error) {
	if answer == "" {
		return "", nil
	}
	n, each := several(answer)
	series, capacity := inSeries.FindStringSubmatch(each), ofCapacity.FindString(each)
	if series == nil || series[1] == "0" {
		return "", unread("packs", answer, "does not say how many cells are in series")
	}
	if capacity == "" {
		return "", unread("packs", answer, "names no capacity in ampere-hours")
	}
	rest := strings.Replace(strings.Replace(each, series[0], "", 1), capacity, "", 1)
	said := strings.Trim(strings.ToLower(rest), " ,")
	if word, ok := chemistryIn[said]; ok {
		said = word
	}
	if known := words(journal.Chemistry("").Options()); !slices.Contains(known, said) {
		return "", unread("packs", answer, fmt.Sprintf("names %q where one chemistry is wanted: %s", said, strings.Join(known, ", ")))
	}
	if n == 0 {
		return "", unread("packs", answer, "is no pack")
	}
	b.WriteString("packs:\n")
	for i := range n {
		name := "pack"
		if n > 1 {
			name = fmt.Sprintf("pack %d", i+1)
		}
		fmt.Fprintf(b, "  - {name: %s, chemistry: %s, series: %s, capacity: %s}\n", name, said, series[1], capacity)
	}
	return said, nil
}

// charger writes the charger, by the voltage at which it ends and its current.
func charger(b *strings.Builder, answer, chemistry string) error {
	if answer == "" {
		return nil
	}
	volts, amps := amount(answer, quantity.Voltage), amount(answer, quantity.Current)
	if volts == "" || amps == "" || len(parts(answer)) != 2 {
		return unread("charger", answer, "is not a voltage and a current")
	}
	b.WriteString("charger: {")
	if chemistry != "" {
		fmt.Fprintf(b, "chemistry: %s, ", chemistry)
	}
	fmt.Fprintf(b, "voltage: %s, current: %s}\n", volts, amps)
	return nil
}

// motors writes the motors, by the voltage that they are rated for and, where it is said, their power.
func motors(b *strings.Builder, answer string) error {
	if answer == "" {
		return nil
	}
	n, each := several(answer)
	volts, watts := amount(each, quantity.Voltage), amount(each, quantity.Power)
	wanted := 1
	if watts != "" {
		wanted = 2
	}
	if volts == "" || n == 0 || len(parts(each)) != wanted {
		return unread("motors", answer, "is not a voltage, or a voltage and a power")
	}
	fmt.Fprintf(b, "motors:\n  - {name: motor, rated: %s", volts)
	if watts != "" {
		fmt.Fprintf(b, ", power: %s", watts)
	}
	if n > 1 {
		fmt.Fprintf(b, ", count: %d", n)
	}
	b.WriteString("}\n")
	return nil
}

// rider writes who rides, with the age of the youngest and what it is used as where they are said.
func rider(b *strings.Builder, answer string) error {
	if answer == "" {
		return nil
	}
	riders, purposes := words(journal.Rider("").Options()), words(journal.Purpose("").Options())
	var who, as, age string
	for _, part := range parts(strings.ToLower(answer)) {
		years, err := strconv.Atoi(part)
		switch {
		case slices.Contains(riders, part):
			who = part
		case slices.Contains(purposes, part):
			as = part
		case err == nil && years > 0 && years < 120:
			age = part
		default:
			return unread("rider", answer, fmt.Sprintf("says %q, which is neither who rides (%s) nor an age nor what it is used as (%s)",
				part, strings.Join(riders, ", "), strings.Join(purposes, ", ")))
		}
	}
	var said []string
	for _, k := range [][2]string{{"as", as}, {"rider", who}, {"age", age}} {
		if k[1] != "" {
			said = append(said, k[0]+": "+k[1])
		}
	}
	fmt.Fprintf(b, "use: {%s}\n", strings.Join(said, ", "))
	return nil
}

// parts are the parts of an answer between its commas.
func parts(answer string) []string {
	var out []string
	for _, p := range strings.Split(answer, ",") {
		out = append(out, strings.TrimSpace(p))
	}
	return out
}

// amount is the part of an answer that is a quantity of the dimension, as it was written; "" where there is none, or more than one.
func amount(answer string, of quantity.Dimension) string {
	found := ""
	for _, p := range parts(answer) {
		if _, err := quantity.ParseAs(p, of); err == nil {
			if found != "" {
				return ""
			}
			found = p
		}
	}
	return found
}

func words(options []notes.Option) []string {
	var out []string
	for _, o := range options {
		out = append(out, o.Name)
	}
	return out
}
