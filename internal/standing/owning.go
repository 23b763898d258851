package standing

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/value"
)

func fuses(t *teller) {
	w := t.version.Wiring
	if w == nil {
		t.unstated("wiring", "which fuse is where")
		return
	}
	n := 0
	for i := range w.Parts {
		p := &w.Parts[i]
		if p.Kind.Value != journal.PartWord(circuit.Fuse) {
			continue
		}
		n++
		at := fmt.Sprintf("wiring.parts.%s.", notes.Slug(p.Name.Text))
		where := ""
		for k := range w.Leads {
			l := &w.Leads[k]
			if part, _, _ := strings.Cut(l.To.Text, ":"); part == p.Name.Text && l.Length.Set {
				from, _, _ := strings.Cut(l.From.Text, ":")
				where = fmt.Sprintf(", behind {wiring.leads.%d.length} of lead from %s", k+1, from)
			}
		}
		if !t.say(fmt.Sprintf("%s: {%scurrent}%s.", strings.TrimSuffix(finding.Sentence(p.Name.Text), "."), at, where)) {
			t.unstated("wiring.parts.current", "how much the "+p.Name.Text+" lets through")
		}
	}
	if n == 0 {
		t.unstated("wiring.parts", "its fuses; none is stated, and nothing protects the leads")
		return
	}
	t.with("A fuse belongs as near to its source as it goes, since what lies before it is not protected; packs in parallel want one each, because a pack also feeds the fault in the other. A fuse protects the leads behind it, not the motors.")
}

func wire(t *teller) {
	w := t.wired()
	if w == nil || len(w.Whips) == 0 {
		t.unstated("wiring.leads", "its leads")
		return
	}
	type size struct {
		area  circuit.Size
		leads int
	}
	var sizes []size
	for _, l := range w.Whips {
		i := slices.IndexFunc(sizes, func(s size) bool { return s.area == l.Size })
		if i < 0 {
			i, sizes = len(sizes), append(sizes, size{area: l.Size})
		}
		sizes[i].leads++
	}
	slices.SortStableFunc(sizes, func(a, b size) int { return b.leads - a.leads })
	words, values := []string{}, []value.Value{}
	for _, s := range sizes {
		if !(s.area.Area > 0) {
			t.unstated("wiring.leads.size", "how thick each lead is")
			continue
		}
		words = append(words, "{} in {}")
		values = append(values, t.count("Leads of the size", s.leads), number(t, "Conductor size", value.Quoted, s.area.Area))
	}
	if len(words) > 0 {
		t.with("Of its leads are "+strings.Join(words, ", ")+" cable.", values...)
	}
	t.say("They are {wiring.usual.stranding}, for {wiring.usual.insulation} of insulation.")
	t.with("The thickness of a wire follows from its fuse, its length and its heat.")
}

func ends(t *teller) {
	w := t.wired()
	if w == nil || len(w.Whips) == 0 {
		t.unstated("wiring.leads", "its leads and their ends")
		return
	}
	type end struct {
		name string
		n    int
	}
	var all []end
	for _, l := range w.Whips {
		for _, e := range []circuit.WhipEnd{l.A, l.B} {
			name := string(e.Kind)
			if e.Kind == circuit.NotStated {
				t.unstated("wiring.leads.ends", "what goes on each end")
				continue
			}
			if size, _, _ := strings.Cut(e.Terminal, ","); size != "" {
				name += " " + size
			}
			i := slices.IndexFunc(all, func(o end) bool { return o.name == name })
			if i < 0 {
				i, all = len(all), append(all, end{name: name})
			}
			all[i].n++
		}
	}
	slices.SortStableFunc(all, func(a, b end) int { return b.n - a.n })
	var words []string
	var values []value.Value
	for _, e := range all {
		words, values = append(words, e.name+" {}"), append(values, t.count("Ends: "+e.name, e.n))
	}
	if len(words) > 0 {
		t.with("On the ends of its leads go lugs and ferrules, by kind and how many: "+strings.Join(words, ", ")+".", values...)
	}
	t.with("A stranded wire in a clamp wants a ferrule, one in each; a ring is crimped with the tool for it and pulled by hand before it is fitted.")
}

func cost(t *teller) {
	if len(t.version.Parts) == 0 {
		t.unstated("parts", "what was bought and for how much")
		return
	}
	if !t.say("The parts of this change cost {change-cost}.") {
		t.unstated("parts.price", "the price of each part")
	}
	t.say("All that is on the vehicle cost {total-cost}.")
	t.say("What was taken off had cost {taken-off-cost}.")
	var dear []string
	for i := range t.version.Parts {
		p := &t.version.Parts[i]
		if p.Price.Set {
			from := ""
			if p.Source.Set {
				from = ", " + p.Source.Text
			}
			dear = append(dear, fmt.Sprintf("%s {parts.%d.price}%s", p.Name.Text, i+1, from))
		}
	}
	if len(dear) > 0 {
		t.say("Bought: " + strings.Join(dear, "; ") + ".")
	}
}

func age(t *teller) {
	v := t.version
	if len(v.Packs) == 0 {
		t.unstated("packs", "what feeds it")
		return
	}
	for i := range v.Packs {
		name := v.Packs[i].Name.Text
		if name == "" {
			name = "pack"
		}
		if !t.say(fmt.Sprintf("The %s was made on {packs.%d.made}.", name, i+1)) {
			t.unstated("packs.made", "when the pack was made")
		}
	}
	const again = "A bench run from full until the cutout opens, every year, would settle how they are doing."
	a := t.predicted()
	if a == nil || a.Err != "" {
		t.unmeasured(again)
		return
	}
	t.cycles(a.Life.At)
	stated := v.Capacity()
	if a.Basis.Calibrated && a.Capacity.Known() && stated.Known() {
		held := value.Value{Label: "Capacity as the logs have it", Place: v.Place(), Form: value.FormNumber, Kind: value.Computed, Quantity: a.Capacity.OrWhy("")}
		weaker := "not weaker than their label by more than is known"
		if float64(stated.Value-a.Capacity.Value) > 2*float64(a.Capacity.U) {
			weaker = "weaker than their label"
		}
		t.with("How ours are doing: by the logs they hold {}, and {} stands on the label, so they have become "+weaker+".", held, number(t, "Capacity as stated", value.Quoted, quantity.AmpereHours(stated.Value)))
		return
	}
	t.unmeasured(again)
}

// cycles tells how many are typical at the first depth of which a source says it.
func (t *teller) cycles(at []predict.Depth) {
	for _, d := range at {
		low := number(t, "Cycles at least", value.Quoted, twoFigures(d.Low))
		switch {
		case d.Err == "":
			t.with("Taken down "+d.Name+" every time, {} to {} cycles are typical until they are worn; how many years that is follows from how often it runs.", low, number(t, "Cycles at most", value.Quoted, twoFigures(d.High)))
			return
		case d.Low > 0:
			t.with("Taken down "+d.Name+" every time, more than {} cycles are typical until they are worn; how many years that is follows from how often it runs.", low)
			return
		}
	}
	if len(at) > 0 {
		t.with(finding.Sentence(at[0].Err))
	}
}

// twoFigures is a count that is known no better than to two figures.
func twoFigures(n quantity.Number) quantity.Number {
	if !(n > 0) {
		return n
	}
	unit := math.Pow(10, math.Floor(math.Log10(float64(n)))-1)
	return quantity.Number(math.Round(float64(n)/unit) * unit)
}
