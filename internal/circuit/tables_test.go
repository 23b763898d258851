package circuit

import (
	"strings"
	"testing"
	"testing/fstest"
)

func TestTablesAreWhole(t *testing.T) {
	set, err := readTables(tableFiles)
	if err != nil {
		t.Fatal(err)
	}
	for name, n := range map[string]int{"wires": len(set.wires), "ampacities": len(set.ampacities), "deratings": len(set.deratings), "gates": len(set.gates),
		"fuse kinds": len(set.fuseKinds), "placements": len(set.placements), "ferrules": len(set.ferrules), "crimps": len(set.crimps)} {
		if n == 0 {
			t.Errorf("no %s", name)
		}
	}
	// What nobody has read may not pass for read.
	for _, r := range set.ampacities {
		if r.table == "iso-13297" && r.quoted.Status != FromMemory {
			t.Errorf("%s %v mm²: status %s", r.table, r.area, r.quoted.Status)
		}
	}
	for _, r := range set.gates {
		if strings.HasPrefix(r.quoted.Source, "ISO 8820-3") && r.quoted.Status != FromMemory {
			t.Errorf("gates of %s: status %s", r.quoted.Source, r.quoted.Status)
		}
	}
}

func TestTablesRefuse(t *testing.T) {
	good := fstest.MapFS{}
	for _, name := range []string{"iec60228", "ampacity", "derating", "fuse-gates", "fuse-kinds", "fuse-placement", "ferrules", "crimp-terminals", "terminals"} {
		data, err := tableFiles.ReadFile("tables/" + name + ".csv")
		if err != nil {
			t.Fatal(err)
		}
		good["tables/"+name+".csv"] = &fstest.MapFile{Data: data}
	}
	for _, tt := range []struct{ file, from, to, want string }{
		{"iec60228", "26.0", "26.O", "row 3"},
		{"ampacity", "confirmed", "sure", "unknown status"},
		{"ampacity", "33 CFR 183.425, Table 5", "a page", "called confirmed"},
		{"fuse-kinds", "volts", "voltage", "another head"},
		{"ampacity", "18 AWG,60", "18 AGW,60", "row 2"},
	} {
		name := "tables/" + tt.file + ".csv"
		whole := good[name]
		good[name] = &fstest.MapFile{Data: []byte(strings.Replace(string(whole.Data), tt.from, tt.to, 1))}
		if _, err := readTables(good); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s with %q for %q: error %v, want one with %q", tt.file, tt.to, tt.from, err, tt.want)
		}
		good[name] = whole
	}
}
