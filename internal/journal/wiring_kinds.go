package journal

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/notes"
)

var contacts = []circuit.Kind{circuit.Switch, circuit.Relay, circuit.Contactor, circuit.Cutout, circuit.EmergencyStop, circuit.ReversingSwitch, circuit.HalfSpeedSwitch}

// carriers are the parts that a current passes through on its way and that are made for so much of it.
var carriers = slices.Concat(contacts, []circuit.Kind{circuit.TerminalBlock, circuit.Controller, circuit.Shunt, circuit.ChargerSocket, circuit.Connector, circuit.Diode})

func and(kinds []circuit.Kind, more ...circuit.Kind) []circuit.Kind {
	return append(slices.Clone(kinds), more...)
}

// kindKeys says which kinds of part have a key that not every part has.
var kindKeys = map[string][]circuit.Kind{
	"of":        {circuit.Pack, circuit.Motor, circuit.Converter},
	"cells":     {circuit.Pack, circuit.BalanceLead},
	"current":   and(carriers, circuit.Pack, circuit.Fuse, circuit.Breaker),
	"peak":      and(carriers, circuit.Pack),
	"volts":     and(carriers, circuit.Fuse, circuit.Breaker, circuit.Suppressor),
	"breaking":  {circuit.Fuse, circuit.Breaker},
	"resistive": contacts,
	"inductive": contacts,
	"ac":        and(contacts, circuit.Fuse, circuit.Breaker, circuit.ChargerSocket, circuit.Connector),
	"nominal":   {circuit.Pack, circuit.Lamp, circuit.Horn, circuit.Relay, circuit.Contactor},
	"resistance": and(contacts, circuit.Pack, circuit.Fuse, circuit.Breaker, circuit.Controller, circuit.Motor, circuit.Diode, circuit.Resistor, circuit.Shunt, circuit.Lamp, circuit.Horn, circuit.Connector,
		circuit.Throttle, circuit.PrechargeResistor, circuit.BrakeResistor, circuit.Converter),
	"power":           {circuit.Lamp, circuit.Horn, circuit.Resistor, circuit.PrechargeResistor, circuit.BrakeResistor},
	"coil":            {circuit.Relay, circuit.Contactor},
	"drop":            {circuit.Diode},
	"suppression":     {circuit.Relay, circuit.Contactor},
	"polarised":       {circuit.Contactor},
	"pins-on":         {circuit.Connector},
	"parted":          {circuit.Connector},
	"parted-most":     {circuit.Connector},
	"fuse-kind":       {circuit.Fuse},
	"poles":           {circuit.Switch, circuit.Relay, circuit.Contactor, circuit.Connector},
	"throws":          {circuit.Switch, circuit.Relay, circuit.Contactor},
	"off-between":     {circuit.Switch, circuit.Relay, circuit.Contactor},
	"at-rest":         contacts,
	"ways":            {circuit.TerminalBlock},
	"common-positive": {circuit.Controller},
	"touch-proof":     {circuit.ChargerSocket},
	"taps":            {circuit.Pack},
	"clamps":          {circuit.Suppressor},
	"both-ways":       {circuit.Suppressor},
}

const wiredParts = "wiring.parts."

// KindsOf are the kinds of part that take a key of the wiring's parts, by its path; none where every kind takes it,
// and where it is no such key.
func KindsOf(path string) []circuit.Kind {
	key, is := strings.CutPrefix(path, wiredParts)
	if !is {
		return nil
	}
	return kindKeys[key]
}

// keysOfKind finds keys that say nothing of a part of this kind.
func (l *loader) keysOfKind(p *WiringPart, kind circuit.Kind) {
	v := reflect.ValueOf(p).Elem()
	for _, f := range notes.Fields(v.Type()) {
		kinds, some := kindKeys[f.Key]
		if !some || slices.Contains(kinds, kind) {
			continue
		}
		if value := v.Field(f.Index); value.FieldByName("Set").Bool() {
			l.add(finding.Error, RuleKeyNotForKind, value.FieldByName("Span").Interface().(finding.Span), fmt.Sprintf("`%s` says nothing of a %s", f.Key, kind), "take it out; it belongs to "+kindList(kinds)+".")
		}
	}
}

func kindList(kinds []circuit.Kind) string {
	var words []string
	for _, k := range circuit.Kinds() {
		if slices.Contains(kinds, k) {
			words = append(words, string(k))
		}
	}
	return orList(words)
}
