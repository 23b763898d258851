package site

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"path"
	"strings"
	"testing"
)

// A log of an hour at ten samples a second, nine channels and 900 stops: its page stays light, and the log on the site is
// every byte of it.
func TestPageOfALongLogIsLight(t *testing.T) {
	var log bytes.Buffer
	log.WriteString("t,voltage,current,temperature,speed,distance,power,duty,rotation\n")
	for i := range 36_000 {
		x := float64(i) / 10
		current := 12 + 3*math.Sin(x/7) + math.Sin(x*3)
		if i%40 >= 28 {
			current = 0
		}
		fmt.Fprintf(&log, "%.1f,%.5f,%.5f,%.5f,%.5f,%.2f,%.5f,%.5f,%.5f\n", x, 28-x/900-current*0.03, current,
			20+x/400+math.Sin(x*5), current/6, x*1.9, current*27, 60+20*math.Sin(x*11), current*200+50*math.Sin(x*13))
	}
	in := input(t, written(t, map[string]string{
		"journal.yaml":            "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n---\n",
		"cart/1-first/run-1.md": "---\nkind: run\ntype: field\nname: Long\ndate: 2026-01-03\npause-after: 0.5 s\nidle: 1 A\n" +
			"log: {file: long.csv, columns: {time: t, voltage: voltage, current: current, temperature: temperature, speed: speed, distance: distance, power: power, duty: duty, rotation: rotation}}\n---\n",
		"cart/1-first/long.csv": log.String(),
	}))
	p, found := build(t, in)
	if len(found) > 0 {
		t.Error(found[0].Text)
	}
	const folder = "cart/1-first/run-1/"
	page, err := p.Bytes(folder + "index.html")
	if err != nil {
		t.Fatal(err)
	}
	data := len(page)
	for _, name := range p.Paths() {
		if strings.HasPrefix(name, folder) && path.Ext(name) == ".json" {
			more, err := p.Bytes(name)
			if err != nil {
				t.Fatal(err)
			}
			data += len(more)
		}
	}
	t.Logf("the page with its results has %d bytes, the log %d", data, log.Len())
	if data > pageLimit {
		t.Errorf("the page with its results has %d bytes", data)
	}
	copied, err := p.Bytes(folder + "long.csv")
	if err != nil || !bytes.Equal(copied, log.Bytes()) {
		t.Errorf("the log was not copied whole: %v", err)
	}
	var results struct {
		Samples int
		Figures []struct {
			Name    string
			Value   *float64
			Missing string
		}
	}
	text, err := p.Bytes(folder + "results.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &results); err != nil {
		t.Fatal(err)
	}
	if results.Samples != 36_000 || len(results.Figures) < 25 {
		t.Errorf("results.json has %d samples and %d figures", results.Samples, len(results.Figures))
	}
	for _, f := range results.Figures {
		if (f.Value == nil) == (f.Missing == "") {
			t.Errorf("results.json: %s has a value and a reason for none, or neither", f.Name)
		}
	}
}
