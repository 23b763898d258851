package runlog

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/recorded"
)

// publishedLogs are small logs of every sort of line that a log has. Each stands in testdata/cleaned.golden line by line beside
// what is published of it, which was read.
var publishedLogs = []struct {
	name, log string
	places    PublishedPlaces
	options   func(*Options)
}{
	{name: "lines above, comments and blank ones", log: "Serial No: SN4711882\n# by JANEDOE\n\ntime (s),voltage (V),current (A)\n0,26.0,5\n\n# here\n10,25.9,5\nstray\n20,25.8,6\n   \n30,25.7,5\n"},
	{name: "CRLF and a mark", log: "\ufefftime (s),voltage (V),current (A),Owner\r\n0,26.0,5,JANE\r\n10,25.9,5,JANE\r\n20,25.8,6,JANE\r\n"},
	{name: "CR", log: "time (s),voltage (V),current (A),Owner\r0,26.0,5,JANE\r10,25.9,5,JANE\r20,25.8,6,JANE\r"},
	{name: "UTF-16", log: utf16le("\ufefftime (s),voltage (V),current (A),Owner\n0,26.0,5,JANE\n10,25.9,5,JANE\n20,25.8,6,JANE\n")},
	{name: "a head in a comment", log: "# time (s),voltage (V),current (A),Owner\n0,26.0,5,JANE\n10,25.9,5,JANE\n20,25.8,6,JANE\n"},
	{name: "the head again", log: "time (s),JANEs voltage (V),current (A),Owner\n0,26.0,5,JANE\n10,25.9,5,JANE\ntime (s),JANEs voltage (V),current (A),Owner\n0,25.8,6,JANE\n10,25.8,6,JANE\n"},
	{name: "a row of units", log: "time,voltage,current,Owner,efficiency,lat,lon\ns,V,A,kg,%,deg,deg\n0,26.0,5,JANE,90.5,52.51,13.37\n10,25.9,5,JANE,90.6,52.52,13.37\n20,25.8,6,JANE,90.7,52.53,13.37\n"},
	{name: "a row of units between blanks", log: "time voltage current id\n[s] [V] [A] [kg]\n0 26.0 5 JANE\n10 25.9 5 JANE\n20 25.8 6 JANE\n"},
	{name: "an interval above", log: "sampled every 10 s by JANE\nvoltage (V),current (A)\n26.0,5\n25.9,5\n25.8,6\n"},
	{name: "an interval in a comment above", log: "# interval: 10 s, by JANE\nvoltage (V),current (A)\n26.0,5\n25.9,5\n25.8,6\n"},
	{name: "names in a line above", log: "JANE wrote the columns: time, voltage, current\n0;26.0;5\n10;25.9;5\n20;25.8;6\n30;25.8;6\n"},
	{name: "columns that stay and go", log: "time (s),voltage (V),current (A),efficiency (%),torque (Nm),resistance (mΩ),Serial,Owner,empty,VelN (m/s),heading,mystery,speed east (m/s),wheel speed (km/h),motor temp (°C),Ah,q\n" +
		"0,26.0,5,90.5,1.1,20.5,471188,JANE,,1.5,271,77,0.5,5,30.5,0.1,4\n10,25.9,5,90.6,1.2,20.6,471188,JANE,,1.5,271,77,0.5,5,30.6,0.1,5\n20,25.8,6,90.7,1.3,20.7,471188,JANE,,1.5,271,77,0.5,5,30.7,0.1,6\n30,25.8,6,NaN,x,20.7,471188,JANE,,1.5,271,77,0.5,5,30.7,0.1,6\n"},
	{name: "a column without a head", log: "time (s),voltage (V),current (A),,x\n0,26.0,5,JANE,1\n10,25.9,5,JANE,1\n20,25.8,6,JANE,1\n"},
	{name: "cells with more", log: "time (s),voltage (V),current (A),state\n" + numbered(18, "%d,26.0,5,discharge\n") + "180,26.0 V,5,discharge at JANEs\n190,-,5,D\n200,25.8,-6 A,C\n210,n/a,+6 A,charge!\n220,25.7,nowhere,rest\n230,25.6,=5,x\n240,\"25.5\",5,JANE\n250,25.5,5,idle\n260,25.5,5,\n270,25.5 V at JANEs,5,r\n"},
	{name: "states between blanks", log: "time voltage current state\n" + numbered(18, "%d 26.0 5 discharge\n") + "180 26.0 5 JANE\n190 - 5 D\n200 nan 5 nan\n"},
	{name: "clocks and dates", log: "date,time,voltage (V),current (A),remark\n" + numbered(60, "2024-05-04,10:%02d:00,26.0,5,JANE\n") + "2024-05-04,at JANEs,25.8,6,JANE\nJANEs,11:13:00,25.8,6,JANE\n2024-05-04,10:15,25.8,6,JANE\n11:16:00,11:16:00,25.8,6,JANE\n2024-05-04,2024-05-04,25.8,6,JANE\n"},
	{name: "a written time", log: "timestamp,voltage (V),current (A),remark\n" + numbered(60, "2024-05-04 10:%02d:00,26.0,5,JANE\n") + "at JANEs,25.8,6,JANE\n10:15:00,25.8,6,JANE\n2024-05-04 11:15:00,25.8,6,JANE\n"},
	{name: "a written time whose cells come first", log: "Owner;timestamp;voltage (V);current (A);lat;lon\n" + numbered(12, "JANE;2024-05-04 10:%02d:00;26.0;5;52.51;13.37\n") + "JANE;;26.0;5;52.51;13.37\nJANE;;26.0;5;52.51\n;;;\n"},
	{name: "more heads than cells", log: "time (s),voltage (V),current (A),Owner,lat\n0,26.0,5\n10,25.9,5\n20,25.8,6\n"},
	{name: "a head for each way to say where, and no positions", log: "time (s),voltage (V),current (A),lat,lon degrees of x,utm,compass (deg),Owner\n0,26.0,5,JANE,JANE,JANE,271,JANE\n10,25.9,5,JANE,JANE,JANE,271,JANE\n20,25.8,6,JANE,JANE,JANE,271,JANE\n"},
	{name: "cells that hold the separator", log: "time (s);voltage;current;Owner\n0;26,0;5,0;JANE\n10;25,9;5,5;\"JANE;S\"\n20;25,8;6,5;x\n"},
	{name: "a head that holds the separator", log: "time (s),\"voltage, JANEs (V)\",current (A),\"voltage \"\"JANE\"\" (V)\"\n0,26.0,5,1\n10,25.9,5,1\n20,25.8,6,1\n"},
	{name: "rows that are left out", log: "time (s),voltage (V),current (A),Owner\n0,26.0,5,JANE\n10,25.9,5,JANE\n,25.9,5,JANE\nJANE,25.9,5,JANE\n20,1e300,5,JANE\n25\n26,25.9\n30,25.8,6,JANE,JANE,JANE\n40,25.8,6,\"JANE\n50,2\x006,6,JANE\n60,25.8,6,JANE\n70,25.8,6,JANE\n80,25.8,6,JANE\n"},
	{name: "a decimal comma", log: "Zeit (s);Spannung (V);Strom (A);Wirkungsgrad;Besitzer\n0;26,0;5,0;90,5;JANE\n10;25,9;5,1;90,5;JANE\n20;25,8;6,2;90,5;JANE\n"},
	{name: "positions unasked", log: placed},
	{name: "positions outside a zone", log: placed, places: PublishedPlaces{Asked: true, Zones: []Zone{{52.51, 13.37, 400}}}},
	{name: "positions asked for and no zone", log: placed, places: PublishedPlaces{Asked: true}},
	{name: "the maker names a column", log: "time (s),JANE,current (A),lat,lon\n0,26.0,5,52.51,13.37\n10,25.9,5,52.52,13.37\n20,25.8,6,52.53,13.37\n", options: func(o *Options) { o.Columns = map[Channel]string{Voltage: "JANE"} }},
	{name: "the maker numbers a column", log: "time (s),JANE,current (A),lat,lon\n0,26.0,5,52.51,13.37\n10,25.9,5,52.52,13.37\n20,25.8,6,52.53,13.37\n", options: func(o *Options) { o.Columns = map[Channel]string{Voltage: " #2"} }},
	{name: "a setting beside the data", log: "time (s),voltage (V),current (A),Vertical Units,V,JANE\n0,26.0,5,Vertical Units,V,JANE\n10,25.9,5,Vertical Units,JANE,V\n20,25.8,6,Y Units,A,\n30,25.8,6,JANE,A,Y Units\n"},
	{name: "a quoted cell over lines", log: "time (s),voltage (V),current (A),remark\n0,26.0,5,\"JANE\nof HOUSE\"\n10,25.9,5,\"a \"\"b\"\"\"\n20,\"25,8\",6,x\n30,25.7,6,x\n"},
	{name: "a line too long", log: "time (s),voltage (V),current (A)\n0,26.0,5\n10,25.9,5\n" + strings.Repeat("J", maxLine+5) + "\n20,25.8,6\n"},
	{name: "a step clock", log: "time (s),step time,voltage (V),current (A)\n" + numbered(12, "%d,00:00:10,26.0,5\n") + "200,at JANEs,25.8,6\n210,00:00:30,25.8,6\n"},
	{name: "one character above and between", log: "x\n\ntime (s),voltage (V),current (A),Owner\n0,26.0,5,JANE\n#\n10, 25.9 ,5 ,JANE,\n20,25.8,6,JANE\n"},
	{name: "positions of one digit", log: "time (s),voltage (V),current (A),lat,lon,efficiency,remark\n0,26.0,5,5,7,90,JANE\n1,25.9,5,5,7,90,JANE\n2,25.8,6,5,7,90,JANE\n3,25.8,6,4.9,7.1,90,JANE\n4,25.8,6,5,7,90,JANE\n5,25.8,6,5,7,90\n6,25.8,6,5,7,7.0499\n7,25.8,6,5,7,7.0501\n8,25.8,6,5,7,6.9501\n9,25.8,6,5,7,6.9499\n10,5,6,5,7,90\n", places: PublishedPlaces{Asked: true}},
	{name: "a speed and a way without units and positions", log: "time (s),voltage (V),current (A),speed,distance\n" + numbered(12, "%d,26.0,5,5.0,%[1]d\n")},
	{name: "a row of units with a form", log: "time,voltage,current,speed\nhh:mm:ss,V,A,JANE\n00:00:10,26.0,5,1\n00:00:20,25.9,5,1\n00:00:30,25.8,6,1\n"},
	{name: "positions asked for and none there", log: "time (s),voltage (V),current (A),compass (deg),remark\n0,26.0,5,271,JANE\n10,25.9,5,271,JANE\n20,25.8,6,271,JANE\n", places: PublishedPlaces{Asked: true}},
	{name: "a speed that positions settle", log: settledSpeed()},
}

// placed is a log with positions, in whose fourth row one is missing, and whose last rows lack a cell.
const placed = "time (s),voltage (V),current (A),efficiency (%),lat,lon,altitude (m),remark\n0,26.0,5,90.5,52.5100,13.37,34.7,JANE\n10,25.9,5,90.5,52.5130,13.37,34.7,JANE\n" +
	"20,25.8,6,90.5,52.5140,13.37,34.7,JANE\n30,25.8,6,90.5,,13.37,34.7,JANE\n40,25.8,6,90.5,0,0,34.7,JANE\n50,25.8,6,90.5,95,13.37,34.7,JANE\n60,25.8,6,90.5,52.5150,13.37,JANE,JANE\n" +
	"70,25.8,6,52.5150,13.37,34.7,JANE\n80,25.8,52.5150,13.37,34.7,JANE\n90,52.515,13.37,34.7,x\n100,25.8,6,52.5649,13.4199,34.7,JANE\n110,25.8,6,52.5651,13.4201,34.7,JANE\n120,25.8,6,90.5,52.5150,13.37\n"

// numbered is a line for each number from nought.
func numbered(n int, format string) string {
	var b strings.Builder
	for k := range n {
		fmt.Fprintf(&b, format, k)
	}
	return b.String()
}

func settledSpeed() string {
	var b strings.Builder
	b.WriteString("time (s),voltage (V),current (A),speed,lat,lon\n")
	for k := range 12 {
		fmt.Fprintf(&b, "%d,26.0,%d,18.0,%.6f,13.370000\n", k, 5+k%3, 52.51+5*float64(k)/111194.93)
	}
	return b.String()
}

func TestWhatIsPublishedOfALog(t *testing.T) {
	var out strings.Builder
	for _, c := range publishedLogs {
		o := NewOptions()
		if c.options != nil {
			c.options(&o)
		}
		clean, taken, err := cleaned(t, []byte(c.log), o, c.places)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		fmt.Fprintf(&out, "== %s\n", c.name)
		was, is := strings.SplitAfter(c.log, "\n"), strings.SplitAfter(string(clean), "\n")
		for k := range max(len(was), len(is)) {
			short := func(s []string) string {
				if k >= len(s) {
					return "nothing"
				}
				text := fmt.Sprintf("%q", s[k])
				if n := len(text); n > 500 {
					text = fmt.Sprintf("%s… %d", text[:60], n)
				}
				return text
			}
			switch {
			case k > 3 && k < len(was)-9 && len(was) > 30: // rows of one kind
			case short(was) == short(is):
				fmt.Fprintf(&out, "= %s\n", short(is))
			default:
				fmt.Fprintf(&out, "< %s\n> %s\n", short(was), short(is))
			}
		}
		fmt.Fprintf(&out, "without %q\n", taken.Words())
		if taken.Told != nil {
			fmt.Fprintf(&out, "which told %q\n", taken.Told)
		}
	}
	recorded.Text(t, "testdata/cleaned.golden", out.String())
}

func TestWhatIsNoLogIsNotCleaned(t *testing.T) {
	if _, err := NewCleaned(strings.NewReader("JANE was here\nand there\n"), NewOptions(), PublishedPlaces{}); !errors.Is(err, ErrNotCleaned) {
		t.Errorf("%v, want %v", err, ErrNotCleaned)
	}
	if c, err := NewCleaned(failing{}, NewOptions(), PublishedPlaces{}); err == nil {
		t.Errorf("%v of what cannot be read", c)
	}
}

// What breaks off while it is read is no log that ended.
func TestCleanedLogThatBreaksOff(t *testing.T) {
	text := "time (s),voltage (V),current (A)\n" + numbered(100000, "%d,26.0,5\n")
	c, err := NewCleaned(io.MultiReader(strings.NewReader(text), failing{}), NewOptions(), PublishedPlaces{})
	if err != nil {
		t.Fatal(err)
	}
	if got, err := io.ReadAll(c); err == nil || !strings.HasPrefix(text, string(got[:1000])) {
		t.Errorf("%d bytes and no error", len(got))
	}
}

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, errors.New("no reading") }

func TestNumbersThatAreNoFormulas(t *testing.T) {
	for _, c := range [][3]string{{"-5", "", "-5"}, {"+5", "", "+5"}, {"-5 A", "A", "−5 A"}, {"+5 A", "A", "5 A"}, {"5 A", "A", "5 A"}} {
		if got := withoutFormula([]byte(c[0]), c[1]); got != c[2] {
			t.Errorf("%q: %q, want %q", c[0], got, c[2])
		}
	}
}

func TestStatesInPlainWords(t *testing.T) {
	for _, c := range [][2]string{{"D", "D"}, {"c", "c"}, {"R", "R"}, {"d.", "discharge"}, {"Discharging at home", "discharge"}, {"CHG", "charge"}, {"idle here", "rest"}, {"x", ""}, {"", ""}, {"home", ""}} {
		if got := plainState(c[0]); got != c[1] {
			t.Errorf("%q: %q, want %q", c[0], got, c[1])
		}
	}
}

// A head keeps what the reader knows: units, letters, words of the trade with up to two digits behind.
func TestHeadsInPublicWords(t *testing.T) {
	for _, c := range [][2]string{
		{"pack voltage (V)", "pack voltage (V)"}, {"JANE voltage", "withheld voltage"}, {"cell12", "cell12"}, {"cell123", "withheld"}, {"cell 12", "cell 12"}, {"cell 123", "cell withheld"},
		{"=voltage", "voltage"}, {"+-@ voltage", "voltage"}, {"cellTempJane", "withheld"}, {"cellTempMid", "cellTempMid"}, {"Ichg", "Ichg"}, {"Idis", "Idis"}, {"chg", "chg"}, {"Ijane", "withheld"},
		{"a b c", "a b c"}, {"ab", "withheld"}, {"mAh", "mAh"}, {"kwh out", "kwh out"}, {"Hz", "Hz"}, {"withheld", "withheld"}, {"soc", "soc"}, {"altitude", "altitude"}, {"lat", "lat"}, {"longitude", "longitude"},
		{"ambient", "ambient"}, {"rise", "rise"}, {"index", "index"}, {"ruhe", "ruhe"}, {"torque", "torque"}, {"", ""}, {"voltage!", "voltage!"}, {"ä", "ä"}, {"äö", "withheld"},
	} {
		if got := PublicHead(c[0]); got != c[1] {
			t.Errorf("%q: %q, want %q", c[0], got, c[1])
		}
	}
}

// Which columns that nobody reads keep their numbers.
func TestHarmlessColumns(t *testing.T) {
	for name, want := range map[string]bool{
		"efficiency": true, "internal resistance": true, "R (Ω)": true, "R0 (mΩ)": true, "torque": true, "second voltage (V)": true, "motor temp": true, "phase current": true, "V": false, "U2": false, "x (V)": true,
		"speed (m/s)": true, "speed north (m/s)": false, "x (m/s)": false, "speed": false, "distance (m)": false, "dx (m)": false, "height": false, "lat": false, "lon": false, "utm": false, "serial": false,
		"efficiency serial": false, "efficiency heading": false, "efficiency lat": false, "efficiency lon": false, "efficiency ort": false, "cap": false, "capacity (Ah)": true, "capacity": false, "energy": false, "state": false, "mode": false, "mystery": false, "": false, "(V)": true, "power": true, "rpm": true, "step": true, "odometer": false, "mass (kg)": false, "weight (N)": false, "force (kg)": false,
	} {
		if h := parseHead(name); h.harmless() != want {
			t.Errorf("%q harmless: %v", name, !want)
		}
	}
}

func TestHolesOfCells(t *testing.T) {
	for text, want := range map[string]bool{"": true, "nan": true, "NaN": true, "n/a": true, "null": true, "home": false, "nan nan": false, "5": false} {
		if got := isHole([]byte(text)); got != want {
			t.Errorf("%q is a hole: %v", text, got)
		}
	}
}

func TestWordsOfWhatIsTaken(t *testing.T) {
	all := Taken{Places: []string{"lat", "lon"}, Zoned: []string{"alt"}, Columns: []string{"Owner", "Serial"}, Above: 2, Told: []string{"a name", "a number"}, Heads: 2, Comments: 1, Cells: 1, Rows: 3}
	want := []string{"where it was (lat, lon)", "where it was near its start, its end and its long stops (alt)", "2 columns that nobody reads (Owner, Serial)", "2 lines above the table (a name, a number)",
		"words of 2 heads", "1 line between the rows", "1 cell that held something else than the column", "3 rows that could not be read"}
	if got := all.Words(); !slices.Equal(got, want) {
		t.Errorf("%q\nwant\n%q", got, want)
	}
	if got := (Taken{}).Words(); len(got) != 0 {
		t.Errorf("%q of nothing", got)
	}
	if got := (Taken{Above: 1}).Words(); !slices.Equal(got, []string{"1 line above the table"}) {
		t.Errorf("%q", got)
	}
	var told Taken
	told.told([]string{"a", "b", "a"})
	told.told([]string{"b", "c"})
	if !slices.Equal(told.Told, []string{"a", "b", "c"}) {
		t.Errorf("told %q", told.Told)
	}
}

func TestReadingAlike(t *testing.T) {
	const base = "time (s),voltage (V),current (A)\n0,26.0,5\n10,25.9,5\n20,25.8,6\n"
	for _, c := range []struct {
		name, other string
		want        bool
	}{
		{"itself", base, true}, {"another unit", strings.Replace(base, "(A)", "(mA)", 1), false}, {"other words", strings.Replace(base, "voltage", "withheld voltage", 1), true},
		{"another order", strings.ReplaceAll("time (s),current (A),voltage (V)\n0,5,26.0\n10,5,25.9\n20,6,25.8\n", "x", ""), false}, {"another separator", strings.ReplaceAll(base, ",", ";"), false},
		{"a line more above", "JANE\n" + base, false}, {"a position more", "time (s),voltage (V),current (A),lat,lon\n0,26.0,5,52.51,13.37\n10,25.9,5,52.52,13.37\n20,25.8,6,52.53,13.37\n", true}, {"a column less", "time (s),voltage (V)\n0,26.0\n10,25.9\n20,25.8\n", false},
	} {
		got, err := ReadsAlike(strings.NewReader(base), strings.NewReader(c.other), NewOptions())
		if err != nil || got != c.want {
			t.Errorf("%s: %v, %v", c.name, got, err)
		}
	}
	if _, err := ReadsAlike(failing{}, strings.NewReader(base), NewOptions()); err == nil {
		t.Error("no error where the first cannot be read")
	}
	if _, err := ReadsAlike(strings.NewReader(base), failing{}, NewOptions()); err == nil {
		t.Error("no error where the second cannot be read")
	}
}

func TestWhichRolesAreTimes(t *testing.T) {
	times := []role{roleNumericTime, roleWrittenTime, roleDate, roleClock, roleWhole, roleNanos}
	for r := range role(32) {
		if want := slices.Contains(times, r); isTime(r) != want {
			t.Errorf("role %d is a time: %v", r, !want)
		}
	}
}

// A word goes into the first column of its sort: not into one that is not read, not into a position, a state or a step's clock.
func TestWordInAColumnOfASort(t *testing.T) {
	all := []target{{role: roleState}, {role: roleStepClock}, {role: roleNumericTime}, {role: roleValue}, {role: roleValue}}
	c := &Cleaned{s: &Scanner{separator: ','}, columns: []cleanColumn{{}, {read: &all[3], place: true}, {read: &all[0]}, {read: &all[1]}, {read: &all[2]}, {read: &all[3]}, {read: &all[4]}}}
	any := func(*target) bool { return true }
	value := func(t *target) bool { return t.role == roleValue }
	never := func(*target) bool { return false }
	for _, x := range []struct {
		sort func(*target) bool
		want string
	}{{any, ",,,,W,,,"}, {value, ",,,,,W,,"}, {never, ",,,,,,,"}} {
		if got := c.with(make([]string, 8), "W", x.sort); got != x.want {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
	for i, want := range []*target{nil, nil, &all[0], &all[1], &all[2], &all[3], &all[4], nil, nil} {
		if got := c.read(i); got != want {
			t.Errorf("column %d is read as %v, want %v", i, got, want)
		}
	}
}

// A speed or a distance that names no unit gets the one that positions settled, where it is a value of the head's own.
func TestUnitThatPositionsSettled(t *testing.T) {
	two := make([]source, 2)
	for _, x := range []struct {
		channel Channel
		role    role
		named   bool
		place   []source
		want    string
	}{{Speed, roleValue, false, two, " [km/h]"}, {Distance, roleValue, false, two, " [km/h]"}, {Power, roleValue, false, two, ""}, {Speed, roleBack, false, two, ""}, {Speed, roleValue, true, two, ""}, {Speed, roleValue, false, nil, ""}} {
		c := &Cleaned{s: &Scanner{plan: columnPlan{place: x.place}}, columns: []cleanColumn{{}, {read: &target{source: source{channel: x.channel, unit: unitOf("km/h"), named: x.named}, role: x.role}}}}
		if got := c.settledUnit(1); got != x.want {
			t.Errorf("%+v: %q", x, got)
		}
		if got := c.settledUnit(0); got != "" {
			t.Errorf("a column that is not read: %q", got)
		}
	}
}
