package archive

import "testing"

// Names, datatypes and units of columns as they are found out from the head and the cells.
func TestDescribeTable(t *testing.T) {
	table, err := describeTable("x.csv", []byte("Time in s,Voltage (V),length_mm,end_a,Voltage in mV,Day,Ø,mixed in A,2nd head!\n"+
		"0,12.5,120,ring,-1e3,2026-01-02,,1,x\n10,,90,crimp,.5,2026-01-03,,none,\n"))
	if err != nil {
		t.Fatal(err)
	}
	want := []column{
		{"time", "Time in s", "integer", "s", ""}, {"voltage", "Voltage (V)", "double", "V", ""}, {"length", "length_mm", "integer", "mm", ""},
		{"end_a", "end_a", "string", "", ""}, {"voltage_2", "Voltage in mV", "double", "mV", ""}, {"day", "Day", "date", "", ""},
		{"column", "Ø", "string", "", ""}, {"mixed_in_a", "mixed in A", "string", "", ""}, {"2nd_head", "2nd head!", "string", "", ""},
	}
	if len(table.Columns) != len(want) {
		t.Fatalf("%d columns", len(table.Columns))
	}
	for i, c := range table.Columns {
		if c != want[i] {
			t.Errorf("column %d is %+v, want %+v", i, c, want[i])
		}
	}
	for _, bad := range []string{"", "a,b\n1\n", "a\n\"x"} {
		if _, err := describeTable("x.csv", []byte(bad)); err == nil {
			t.Errorf("%q passed for a table", bad)
		}
	}
}
