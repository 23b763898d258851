package circuit_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// TestCases holds what is said of small circuits to what was read and found right: testdata/cases/*.txt. Most come in
// pairs, one just inside a limit and one just outside; the limits are reckoned by hand from the tables and laws that the
// code names. A file is
//
//	base                     the circuit that its cases change: part and lead lines
//	== words                 a case; it begins with the base
//	part pack main nominal=24 full=29.2
//	                         adds a part, or changes fields of one that is there
//	lead main:+ fuse:in size=4 length=0.1 a=ring:M6 b=crimp
//	                         adds a lead, or changes the one between these terminals
//	without main:+ fuse:in   takes a lead away; without main, a part; without points, all points
//	point cruise hill lasts=5 motor.draws=20
//	                         an operating point and its kind
//	ask judge fuse-saves-lead, live
//	                         what is asked of it, rules by the beginning of their names
//	| words                  what it says, in order
//
// Fields are those of the types, SI base units, mm² and °C. VOLTWRIGHT_UPDATE=1 writes what is said anew: read the difference.
func TestCases(t *testing.T) {
	files, err := filepath.Glob("testdata/cases/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		recorded.Text(t, file, cases(t, file, string(text)))
	}
}

// small is the circuit of a case as it is written.
type small struct {
	circuit.Circuit
	points []circuit.OperatingPoint
}

func cases(t *testing.T, file, text string) string {
	t.Helper()
	var out strings.Builder
	var base, c small
	asks, first := "", true
	end := func() {
		if asks == "" {
			return
		}
		words := c.answer(asks)
		if words == "" {
			words = "nothing\n"
		}
		for line := range strings.Lines(words) {
			out.WriteString("| " + line)
		}
		asks = ""
	}
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		word, rest, _ := strings.Cut(line, " ")
		if word == "|" {
			continue
		}
		if word != "ask" && asks != "" {
			end()
		}
		out.WriteString(line + "\n")
		var err error
		switch word {
		case "", "#":
		case "base":
			first, c = true, small{}
		case "==":
			if first {
				base, first = c, false
			}
			if rest == "" {
				err = fmt.Errorf("a case has no words")
			}
			c = base.clone()
		case "ask":
			asks = rest
		default:
			err = c.line(word, strings.Fields(rest))
		}
		if err != nil {
			t.Fatalf("%s: %s: %v", file, line, err)
		}
	}
	end()
	return out.String()
}

func (c *small) clone() small {
	out := *c
	out.Parts, out.Leads, out.points = slices.Clone(c.Parts), slices.Clone(c.Leads), slices.Clone(c.points)
	return out
}

func (c *small) line(word string, f []string) error {
	switch word {
	case "table":
		c.Table = circuit.AmpacityTable(f[0])
	case "part":
		at := slices.IndexFunc(c.Parts, func(p circuit.Part) bool { return p.Name == f[1] })
		if f[0] == "another" || at < 0 { // a second one of a name
			if f[0] == "another" {
				f = f[1:]
			}
			at = len(c.Parts)
			c.Parts = append(c.Parts, circuit.Part{Name: f[1]})
		}
		c.Parts[at].Kind = circuit.Kind(f[0])
		return set(&c.Parts[at], f[2:])
	case "lead":
		from, to := terminal(f[0]), terminal(f[1])
		at := slices.IndexFunc(c.Leads, func(l circuit.Lead) bool { return l.From == from && l.To == to })
		if at < 0 {
			at = len(c.Leads)
			c.Leads = append(c.Leads, circuit.Lead{From: from, To: to})
		}
		return set(&c.Leads[at], f[2:])
	case "without":
		if f[0] == "points" {
			c.points = nil
			return nil
		}
		if len(f) == 1 {
			c.Parts = slices.DeleteFunc(c.Parts, func(p circuit.Part) bool { return p.Name == f[0] })
			c.Leads = slices.DeleteFunc(c.Leads, func(l circuit.Lead) bool { return l.From.Part == f[0] || l.To.Part == f[0] })
			return nil
		}
		n := len(c.Leads)
		c.Leads = slices.DeleteFunc(c.Leads, func(l circuit.Lead) bool { return l.From == terminal(f[0]) && l.To == terminal(f[1]) })
		if len(c.Leads) == n {
			return fmt.Errorf("there is no such lead")
		}
	case "point":
		p := circuit.OperatingPoint{Name: f[0], Kind: circuit.PointKind(strings.ReplaceAll(f[1], "-", " ")), Parts: map[string]circuit.State{}}
		for _, x := range f[2:] {
			name, rest, ofPart := strings.Cut(x, ".")
			if !ofPart || strings.HasPrefix(x, "lasts=") {
				if err := set(&p, []string{x}); err != nil {
					return err
				}
				continue
			}
			s := p.Parts[name]
			if err := set(&s, []string{rest}); err != nil {
				return err
			}
			p.Parts[name] = s
		}
		c.points = slices.DeleteFunc(c.points, func(q circuit.OperatingPoint) bool { return q.Name == p.Name })
		c.points = append(c.points, p)
	default:
		return fmt.Errorf("no line begins so")
	}
	return nil
}

// set fills fields of a part, lead, point or state.
func set(to any, fields []string) error {
	v := reflect.ValueOf(to).Elem()
	for _, f := range fields {
		name, value, _ := strings.Cut(f, "=")
		value = strings.ReplaceAll(value, "_", " ")
		short, is := map[string]string{"a": "EndA", "b": "EndB", "rated": "Ratings.Volts"}[name]
		if !is {
			short = name
		}
		at := v
		for _, n := range strings.Split(short, ".") {
			at = at.FieldByNameFunc(func(field string) bool { return strings.EqualFold(field, n) })
		}
		if !at.IsValid() {
			return fmt.Errorf("no field %s", name)
		}
		switch x := at.Addr().Interface().(type) {
		case *circuit.Size:
			if _, err := strconv.ParseFloat(value, 64); err == nil {
				value += " mm²"
			}
			q, err := quantity.ParseAs(value, quantity.Area)
			if err != nil {
				return err
			}
			*x = circuit.SizeOf(q)
			continue
		case *circuit.End:
			kind, on, _ := strings.Cut(value, ":")
			*x = circuit.End{Kind: circuit.EndKind(kind), For: on}
			continue
		case *circuit.Range:
			if _, err := fmt.Sscanf(value, "%f-%f", &x.From, &x.To); err != nil {
				return err
			}
			continue
		}
		var err error
		switch at.Kind() {
		case reflect.Bool:
			at.SetBool(value == "" || value == "yes")
		case reflect.String:
			at.SetString(value)
		case reflect.Float64:
			var x float64
			x, err = strconv.ParseFloat(value, 64)
			at.SetFloat(x)
		case reflect.Int:
			var x int
			x, err = strconv.Atoi(value)
			at.SetInt(int64(x))
		case reflect.Uint8:
			var x int
			x, err = strconv.Atoi(value)
			at.SetUint(uint64(x))
		default:
			err = fmt.Errorf("%s is a %s", name, at.Type())
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// answer asks what is to be asked, and puts what is said into words.
func (c *small) answer(asks string) string {
	var w strings.Builder
	for ask := range strings.SplitSeq(asks, ", ") {
		what, which, _ := strings.Cut(ask, " ")
		switch what {
		case "check":
			for _, f := range c.Check() {
				fmt.Fprintf(&w, "%s, %s: %s; %s", f.Rule, c.subject(f.Subject), f.Text, f.Remedy)
				if f.Nearest != "" {
					fmt.Fprintf(&w, " Near: %s", f.Nearest)
				}
				w.WriteString("\n")
			}
		case "shorts":
			c.shorts(&w)
		case "live":
			c.live(&w)
		case "solve":
			c.solved(&w, which)
		case "judge":
			var solved []*circuit.Solution
			for _, op := range c.points {
				s, err := c.Solve(op)
				if err != nil {
					fmt.Fprintf(&w, "%s: %v\n", op.Name, err)
					continue
				}
				solved = append(solved, s)
			}
			for _, v := range c.Judge(solved) {
				if which == "" || slices.ContainsFunc(strings.Fields(which), func(r string) bool { return strings.HasPrefix(string(v.Rule), r) }) {
					c.verdict(&w, v)
				}
			}
		case "asked":
			var solved []*circuit.Solution
			for _, op := range c.points {
				if s, err := c.Solve(op); err == nil {
					solved = append(solved, s)
				}
			}
			for i, a := range c.Asked(solved) {
				fmt.Fprintf(&w, "%s: %.6g A lasting at %q, %.6g A brief at %q, %.6g V full\n", c.Parts[i].Name, a.Lasting, a.LastingAt, a.Brief, a.BriefAt, a.Full)
			}
		case "way":
			for _, op := range c.points {
				way, err := c.Way(op.Parts)
				fmt.Fprintf(&w, "%s: supply %.6g Ω, motors %.6g Ω, left %v, error %v\n", op.Name, way.Supply, way.Motors, way.Left, err)
			}
		case "cuts":
			c.cuts(&w)
		default:
			fmt.Fprintf(&w, "nothing is called %s\n", what)
		}
	}
	return w.String()
}

func (c *small) subject(s circuit.Subject) string {
	switch {
	case s.Part >= 0 && s.Terminal != "":
		return c.Parts[s.Part].Name + ":" + s.Terminal
	case s.Part >= 0:
		return c.Parts[s.Part].Name
	}
	name := c.lead(s.Lead)
	if s.End >= 0 {
		name += " end " + strconv.Itoa(s.End)
	}
	return name
}

func (c *small) lead(i int) string {
	return c.Leads[i].From.String() + "–" + c.Leads[i].To.String()
}

func (c *small) names(parts []int) string {
	var all []string
	for _, i := range parts {
		all = append(all, c.Parts[i].Name)
	}
	return "[" + strings.Join(all, " ") + "]"
}

func (c *small) path(steps []circuit.Step) string {
	var all []string
	for _, s := range steps {
		if s.Part >= 0 {
			all = append(all, c.Parts[s.Part].Name)
		} else {
			all = append(all, c.lead(s.Lead))
		}
	}
	return "[" + strings.Join(all, " ") + "]"
}

func (c *small) standing(with []circuit.Contact) string {
	var all []string
	for _, x := range with {
		all = append(all, c.Parts[x.Part].Name+" "+[]string{"usual", "opened", "other way"}[x.Position])
	}
	return "[" + strings.Join(all, ", ") + "]"
}

func (c *small) verdict(w *strings.Builder, v circuit.Verdict) {
	says := "fails"
	switch {
	case v.CannotJudge != "":
		says = "cannot judge, " + v.CannotJudge
	case v.OK:
		says = "holds"
	}
	fmt.Fprintf(w, "%s, %s: %s", v.Rule, c.subject(v.Subject), says)
	if !math.IsNaN(v.Number.Value) {
		fmt.Fprintf(w, "; %.6g", v.Number.Value)
	}
	if v.Number.Decimals != -1 || v.Limit.Decimals != -1 {
		fmt.Fprintf(w, " to %d and %d places", v.Number.Decimals, v.Limit.Decimals)
	}
	if !math.IsNaN(v.Limit.Value) {
		fmt.Fprintf(w, " against %.6g", v.Limit.Value)
	}
	for _, x := range []struct{ name, text string }{{"at", v.Point}, {"detail", v.Detail}, {"remedy", v.Remedy}, {"from", v.Source}, {"status", string(v.Status)}} {
		if x.text != "" {
			fmt.Fprintf(w, "; %s: %s", x.name, x.text)
		}
	}
	if v.Path != nil {
		w.WriteString("; path " + c.path(v.Path))
	}
	if v.With != nil {
		w.WriteString("; with " + c.standing(v.With))
	}
	if v.Parts != nil {
		w.WriteString("; parts " + c.names(v.Parts))
	}
	w.WriteString("\n")
}

func (c *small) shorts(w *strings.Builder) {
	all, err := c.Shorts()
	for _, s := range all {
		fmt.Fprintf(w, "%s shorted, diode %v, opposed %v, path %s, with %s\n", c.Parts[s.Pack].Name, s.Diode, s.Opposed, c.path(s.Path), c.standing(s.With))
	}
	if err != nil {
		fmt.Fprintln(w, err)
	}
}

func (c *small) live(w *strings.Builder) {
	for i := range c.Parts {
		if k := c.Parts[i].Kind; k != circuit.Cutout && k != circuit.EmergencyStop {
			continue
		}
		l, err := c.Live(i)
		var leads []string
		for _, x := range l.Leads {
			leads = append(leads, c.lead(x))
		}
		fmt.Fprintf(w, "%s open: live %v, leads %v, fed %s, bypass %s, fed behind %s", c.Parts[i].Name, l.Terminals, leads, c.names(l.Fed), c.path(l.Bypass), c.names(l.FedBehind))
		if err != nil {
			fmt.Fprintf(w, ", %v", err)
		}
		w.WriteString("\n")
	}
}

// solved writes a solution; which takes some of it: branches, loads, packs, assumed, leads.
func (c *small) solved(w *strings.Builder, which string) {
	has := func(what string) bool { return which == "" || strings.Contains(which, what) }
	for _, op := range c.points {
		s, err := c.Solve(op)
		if err != nil {
			fmt.Fprintf(w, "%s: %v\n", op.Name, err)
			continue
		}
		fmt.Fprintf(w, "%s: supplied %.6g W, taken %.6g W, limited %s, unfed %s\n", op.Name, s.Supplied, s.Taken, c.names(s.Limited), c.names(s.Unfed))
		if has("leads") {
			for i, l := range s.Leads {
				fmt.Fprintf(w, "  %s: %s, drop %s V, heat %s W, %.6g Ω %s\n", c.lead(i), near(float64(l.Current), "A"), near(float64(l.Drop), ""), near(float64(l.Heat), ""), l.Resistance, l.Missing)
			}
		}
		if has("branches") {
			for _, in := range s.Inside {
				fmt.Fprintf(w, "  %s %s from %s to %s: %s, drop %s V, heat %s W\n", c.Parts[in.Part].Name, in.Way, in.From, in.To, near(float64(in.Current), "A"), near(float64(in.Drop), ""), near(float64(in.Heat), ""))
			}
		}
		if has("loads") {
			for _, l := range s.Loads {
				fmt.Fprintf(w, "  load %s: %s V, %s, lost %s V, %.6g of it\n", c.Parts[l.Part].Name, near(float64(l.Volts), ""), near(float64(l.Current), "A"), near(float64(l.Drop), ""), l.Share)
			}
		}
		if has("packs") {
			for _, p := range s.Packs {
				fmt.Fprintf(w, "  pack %s: %s, %s V, %.6g of it\n", c.Parts[p.Part].Name, near(float64(p.Current), "A"), near(float64(p.Volts), ""), p.Share)
			}
		}
		if has("assumed") {
			for _, a := range s.Assumed {
				fmt.Fprintf(w, "  %s: %s\n", c.Parts[a.Part].Name, a.Text)
			}
		}
	}
}

// near writes a number of a solution; what is nothing within rounding is nothing.
func near(x float64, unit string) string {
	if math.Abs(x) < 1e-7 {
		x = 0
	}
	return strings.TrimSpace(strconv.FormatFloat(x, 'g', 6, 64) + " " + unit)
}

func (c *small) cuts(w *strings.Builder) {
	whips, totals := c.CutList(0.1)
	for _, p := range whips {
		fmt.Fprintf(w, "%s: %v m of %s %s %s %s\n", p.Label, float64(p.Length), p.Size, p.Colour, p.Stripe, p.Code)
		for _, e := range []circuit.WhipEnd{p.A, p.B} {
			fmt.Fprintf(w, "  %s %q strip %.4g, ferrule %v %s, terminal %q, missing %q, %s %s\n", e.At, e.Kind, e.Strip, e.Ferrule.Area, e.Ferrule.Colour, e.Terminal, e.Missing, e.Source, e.Status)
		}
	}
	for _, x := range totals {
		fmt.Fprintf(w, "%s class %d tinned %v %v °C %s %s: %d pieces, %.6g m, with %.6g m, %d unmeasured\n", x.Size, x.Class, x.Tinned, float64(x.Insulation), x.Colour, x.Stripe, x.Pieces, x.Length, x.With, x.Unmeasured)
	}
}
