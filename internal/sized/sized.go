// Package sized makes invented journals of any size, for tests that measure how the program grows with them. Nothing in one was
// measured or built: its logs come from the formula in log.go, its words from a handful of sentences.
//
// The same size and seed give the same bytes. A journal has no errors, so that it can be published.
package sized

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
)

// Size is how much a journal holds.
type Size struct {
	Notes      int // besides those of vehicles, versions and runs
	Versions   int // with a pack, a drive and wiring each
	Logs       int // runs with a log, shared out among the versions in turn
	Rows       int // of each log
	Statements int // bound sentences, shared out among the notes in turn
	Parts      int // rows of each version's list of parts

	Seed uint64
}

// perVehicle is how many versions a vehicle has at the most.
const perVehicle = 10

// version is where the version of a number stands, counted from 0.
func version(n int) string {
	return fmt.Sprintf("cart-%d/%d-pack", n/perVehicle+1, n%perVehicle+1)
}

// Write makes the journal in the folder dir, which must not be there.
func Write(dir string, s Size) error {
	if s.Logs > 0 && s.Versions == 0 {
		return fmt.Errorf("%d logs have no version", s.Logs)
	}
	if err := os.Mkdir(dir, 0o755); err != nil {
		return err
	}
	put := func(name, text string) error {
		at := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			return err
		}
		return os.WriteFile(at, []byte(text), 0o644)
	}
	if err := put("journal.yaml", "title: A book of many carts\nmaker: {name: nobody}\ncurrency: EUR\nnotice: Invented by a program, to measure with.\n"); err != nil {
		return err
	}
	for n := range s.Versions {
		if n%perVehicle == 0 {
			if err := put(filepath.Dir(version(n))+"/vehicle.md", fmt.Sprintf("---\nkind: vehicle\nname: Cart %d\nsummary: Invented.\n---\n\nThere is no such cart.\n", n/perVehicle+1)); err != nil {
				return err
			}
		}
		if err := put(version(n)+"/version.md", versionNote(n, s.Parts, n+1 == s.Versions || (n+1)%perVehicle == 0)); err != nil {
			return err
		}
	}
	said := []string{}
	for n := range s.Versions {
		said = append(said, fmt.Sprintf("The pack holds [20 Ah](value:%s/packs.pack.capacity) by its label.", version(n)))
	}
	for n := range s.Logs {
		random := rand.New(rand.NewPCG(s.Seed, uint64(n)))
		at := version(n % s.Versions)
		log, charge := drawLog(random, s.Rows)
		name := fmt.Sprintf("field-%d", n/s.Versions+1)
		if err := put(at+"/"+name+".csv", log); err != nil {
			return err
		}
		if err := put(at+"/"+name+".md", runNote(name, n/s.Versions)); err != nil {
			return err
		}
		said = append(said, fmt.Sprintf("On one of its ways it took [%.1f Ah](value:%s/%s/charge-out).", charge, at, name))
	}
	for n := range s.Notes {
		bound := ""
		for k := n; k < s.Statements && len(said) > 0; k += s.Notes {
			bound += said[k%len(said)] + "\n"
		}
		if err := put(fmt.Sprintf("notes/note-%04d.md", n+1), textNote(rand.New(rand.NewPCG(s.Seed, uint64(n)<<32)), n, bound)); err != nil {
			return err
		}
	}
	return nil
}

func versionNote(n, parts int, runs bool) string {
	state := "retired"
	if runs {
		state = "running"
	}
	var b strings.Builder
	fmt.Fprintf(&b, "---\nkind: version\nname: Pack %d\ndate: 2025-%02d-01\nstate: %s\nsummary: Invented.\n", n+1, n%perVehicle+1, state)
	b.WriteString(versionSpec)
	if parts > 0 {
		b.WriteString("parts:\n")
	}
	for k := range parts {
		fmt.Fprintf(&b, "  - {name: part %d of pack %d, quantity: %d, rating: \"%d A, 48 V\", price: %d.50, source: an invented counter}\n", k+1, n+1, k%3+1, k%40+5, k%90+1)
	}
	b.WriteString("---\n\nThere is no such pack. Its words are here to be read.\n")
	return b.String()
}

// versionSpec is a version's spec without its name and its parts.
const versionSpec = `packs:
  - {name: pack, chemistry: lfp, series: 8, capacity: 20 Ah, resistance: 24 mΩ, full: 28.8 V, mass: 4.2 kg, discharge: 60 A, protection: {opens: 20 V, current: 80 A, charge-stops: 29.2 V}}
cutout: {opens: 22.4 V, reset-threshold: 3.4 V, delay: 2 s, current: 60 A}
charger: {chemistry: lfp, voltage: 28.8 V, current: 5 A, place: workshop, unattended: no, residual-current-device: yes}
use: {as: work, rider: nobody}
controller: {kind: pwm, voltage: 20 V to 32 V, current: 40 A, limit: 30 A, setting: 60 %, efficiency: 93 %}
motors:
  - {name: motor, rated: 24 V, power: 250 W, no-load-speed: 2800 rpm, no-load-current: 1.2 A, rated-current: 14 A, resistance: 0.24 Ω}
drive: {ratio: 10.5, wheel: 200 mm, surface: concrete}
masses: {vehicle: 45 kg, payload: 60 kg}
wiring:
  usual: {size: 6 mm², stranding: flexible, insulation: 90 °C, ambient: 30 °C}
  parts:
    - {name: pack, kind: pack}
    - {name: main fuse, kind: fuse, current: 40 A, volts: 58 V, fuse-kind: blade, resistance: 2 mΩ}
    - {name: isolator, kind: switch, style: stud, current: 80 A, volts: 48 V, resistance: 0.5 mΩ}
    - {name: cutout, kind: cutout, volts: 48 V, resistance: 3 mΩ, clamp: 1 mm² to 10 mm²}
    - {name: controller, kind: speed-controller, clamp: 1 mm² to 10 mm²}
    - {name: motor, kind: motor}
  leads:
    - {from: "pack:+", to: "main fuse:in", length: 110 mm, colour: red, ends: [ring M6, crimp]}
    - {from: "main fuse:out", to: "isolator:in", length: 350 mm, colour: red, ends: [crimp, ring M8]}
    - {from: "isolator:out", to: "cutout:in+", length: 200 mm, colour: red, ends: [ring M8, ferrule]}
    - {from: "pack:-", to: "cutout:in-", length: 420 mm, colour: black, ends: [ring M6, ferrule]}
    - {from: "cutout:out+", to: "controller:in+", length: 160 mm, colour: red, ends: ferrule}
    - {from: "cutout:out-", to: "controller:in-", length: 160 mm, colour: black, ends: ferrule}
    - {from: "controller:out+", to: "motor:+", length: 380 mm, colour: brown, ends: [ferrule, crimp]}
    - {from: "controller:out-", to: "motor:-", length: 380 mm, colour: blue, ends: [ferrule, crimp]}
`

func runNote(name string, n int) string {
	return fmt.Sprintf(`---
kind: run
type: field
name: The way of %s
date: 2026-%02d-%02d
conditions: {temperature: 18 °C, payload: 60 kg, surface: concrete, setting: 60 %%}
instruments:
  - {name: data logger, measures: voltage, accuracy: ±(0.2 %% + 2 digits), resolution: 0.001 V}
  - {name: data logger, measures: current, accuracy: ±(0.5 %% + 2 digits), resolution: 0.001 A}
log: {file: %s.csv, discharge: positive}
pause-after: 20 s
idle: 0.2 A
---

Nobody went this way.

![Voltage on the way](plot:%s/voltage)
`, name, n/28%12+1, n%28+1, name, name)
}

var sentences = []string{
	"The lever is on the left, and the stop within reach of it.",
	"What was sawn on Monday was filed on Tuesday, and *fitted* on neither.",
	"A cart that stands in the dry lasts longer than one that does not.",
	"We meant to paint it, and then it rained.",
	"See what the makers of `leads` say of the way they bend.",
	"Behind the shed there is room for one more, if nobody minds the nettles.",
	"The wheels came from a cart that came from a cart.",
}

func textNote(random *rand.Rand, n int, bound string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "---\nkind: note\ntitle: Note %d\ndate: 2026-%02d-%02d\n---\n\n", n+1, n/28%12+1, n%28+1)
	for part := range 5 {
		fmt.Fprintf(&b, "## Part %d\n\n", part+1)
		for range 6 {
			b.WriteString(sentences[random.IntN(len(sentences))] + "\n")
		}
		b.WriteString("\n- first\n- then\n- at last\n\n")
	}
	b.WriteString(bound)
	return b.String()
}
