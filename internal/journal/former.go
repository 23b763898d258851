package journal

import (
	"fmt"
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

// formerKeys is the one table of keys that are read no longer. A journal that has one is read without it, and a note
// says what to write instead. A key that only got another name is read under it.
var formerKeys = []formerKey{
	{path: "wiring.parts.volts", kinds: []circuit.Kind{circuit.Lamp, circuit.Horn}, instead: "write as `nominal` the voltage that it is made for."},
	{path: "wiring.parts.volts", kinds: []circuit.Kind{circuit.Motor}, instead: "write as `rated` in `motors` the voltage that it is made for."},
	{path: "wiring.parts.volts", kinds: []circuit.Kind{circuit.Pack}, instead: "write `full` in `packs`, the voltage at the end of charge."},
	{path: "wiring.parts.volts", kinds: []circuit.Kind{circuit.Resistor}, instead: "write as `power` what it may turn into heat."},
	{path: "wiring.parts.current", kinds: []circuit.Kind{circuit.Motor}, instead: "write `rated-current` in `motors`."},
	{path: "wiring.parts.current", kinds: []circuit.Kind{circuit.Lamp, circuit.Horn}, instead: "write `nominal`, the voltage that it is made for, and `power`, what it takes at that."},
	{path: "wiring.parts.current", kinds: []circuit.Kind{circuit.Resistor}, instead: "write as `power` what it may turn into heat."},
	{path: "wiring.parts.peak", kinds: []circuit.Kind{circuit.Motor}, instead: "write `stall-current` in `motors`."},
	{path: "wiring.parts.peak", kinds: []circuit.Kind{circuit.Lamp, circuit.Horn, circuit.Resistor}, instead: "write as `power` what it takes or may take."},
	{path: "wiring.parts.peak", kinds: []circuit.Kind{circuit.Fuse, circuit.Breaker}, instead: "write `fuse-kind`: how long it holds what is above its rating is tabled."},
	{path: "wiring.parts.nominal", kinds: []circuit.Kind{circuit.Motor}, instead: "write as `rated` in `motors` the voltage that it is made for."},
	{path: "wiring.parts.resistance", kinds: []circuit.Kind{circuit.TerminalBlock, circuit.ChargerSocket}, instead: "take it out: its ways are one point for the computation. State a connector where the contact matters."},
	{path: "wiring.parts.ac", kinds: []circuit.Kind{circuit.Pack, circuit.TerminalBlock, circuit.Controller, circuit.Motor, circuit.Diode, circuit.Resistor, circuit.Shunt, circuit.Lamp, circuit.Horn}, instead: "take it out: it belongs to contacts, fuses and connectors."},
}

// formerKey is a key that was accepted once.
type formerKey struct {
	path    string         // of the key: "wiring.parts.volts"
	kinds   []circuit.Kind // the kinds of part of which it is read no longer; none: of all
	now     string         // the name that it has now; "" where it has none, and its value is left out
	instead string         // what to write: the remedy
}

// former takes keys that are read no longer out of a front matter, and says of each what to write instead.
func (l *loader) former(front *notes.Node) {
	if front != nil {
		l.formerIn(front, "")
	}
}

func (l *loader) formerIn(n *notes.Node, path string) {
	for _, item := range n.Items {
		if item != nil {
			l.formerIn(item, path)
		}
	}
	kind := circuit.Kind("")
	if word, ok := n.Lookup("kind"); ok && word != nil {
		kind = circuit.Kind(word.Text)
	}
	var kept []notes.Key
	for _, k := range n.Keys {
		at := strings.TrimPrefix(path+"."+k.Name, ".")
		i := slices.IndexFunc(formerKeys, func(f formerKey) bool {
			return f.path == at && (f.kinds == nil || slices.Contains(f.kinds, kind))
		})
		if i >= 0 {
			f := formerKeys[i]
			l.add(finding.Note, RuleFormerKey, k.Span, f.text(k.Name, kind), f.instead)
			if f.now == "" {
				continue
			}
			k.Name = f.now
		}
		if k.Value != nil {
			l.formerIn(k.Value, at)
		}
		kept = append(kept, k)
	}
	n.Keys = kept
}

func (f formerKey) text(name string, kind circuit.Kind) string {
	switch {
	case f.now != "":
		return fmt.Sprintf("`%s` is called `%s` now, and is read as that", name, f.now)
	case f.kinds != nil:
		return fmt.Sprintf("`%s` of a %s is read no longer: nothing came of it", name, kind)
	}
	return fmt.Sprintf("`%s` is read no longer: nothing came of it", name)
}
