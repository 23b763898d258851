package runlog

import (
	"fmt"
	"strings"
	"testing"
)

// Logs with what nobody asked to publish, in every place that a log has for it. Each word in capitals, and each of the numbers,
// is looked for in what is published; the run measures alike.
func TestNothingElseLeavesALog(t *testing.T) {
	rows := func(row func(k int) string) string {
		var b strings.Builder
		for k := range 60 {
			b.WriteString(row(k) + "\n")
		}
		return b.String()
	}
	plain := func(k int) string { return fmt.Sprintf("%d,%.2f,%.1f", k, 26-0.01*float64(k), 5+float64(k%3)) }
	for _, c := range []struct{ name, log, seeds string }{
		{"lines above", "User: JANEDOE\nSerial No;SN4711882\n# C:\\Users\\JANEDOE\\Documents\nDate of birth: 31.07.1961\n\ntime (s),voltage (V),current (A)\n" + rows(plain), "JANEDOE SN4711882 4711882 Documents 1961"},
		{"an interval among them", "Device DEVICEID77 sampled every 1 s by JANEDOE\nvoltage (V),current (A)\n" + rows(func(k int) string { return fmt.Sprintf("%.2f,%.1f", 26-0.01*float64(k), 5+float64(k%3)) }), "DEVICEID77 JANEDOE"},
		{"names in a line above", "JANEDOE wrote the columns: time, voltage, current\n" + rows(func(k int) string { return strings.ReplaceAll(plain(k), ",", ";") }), "JANEDOE"},
		{"positions", "time (s),voltage (V),current (A),Latitude,Longitude,Altitude (m),Course\n" + rows(func(k int) string {
			return plain(k) + fmt.Sprintf(",52.51%04d,13.37%04d,34.7,271", k, k)
		}), "52.51 13.37 34.7 271"},
		{"positions in German", "Zeit (s);Spannung (V);Strom (A);Breitengrad;Längengrad;Höhe (m);Kurs\n" + rows(func(k int) string {
			return fmt.Sprintf("%d;%.2f;5,%d;52,51%04d;13,37%04d;34,7;271", k, 26.0, k%3, k, k)
		}), "52,51 13,37 34,7 271 Breitengrad"},
		{"positions in French", "Temps (s);Tension (V);Courant (A);Cap;Altitude;Latitude;Longitude;Vitesse nord (m/s);Vitesse est (m/s);Vitesse (m/s)\n" + rows(func(k int) string {
			return fmt.Sprintf("%d;26,%02d;5,%d;271;34,7;52,51%04d;13,37%04d;1,771%d;0,883%d;0,0%d", k, 90-k, k%3, k, k, k%10, k%10, k%3)
		}), "52,51 13,37 34,7 271 1,771 0,883"},
		{"positions in Dutch", "Tijd (s);Spanning (V);Stroom (A);Koers;Hoogte (m);Breedtegraad;Lengtegraad\n" + rows(func(k int) string {
			return fmt.Sprintf("%d;26,%02d;5,%d;271;34,7;52,51%04d;13,37%04d", k, 90-k, k%3, k, k)
		}), "52,51 13,37 34,7 271"},
		{"a barometer, a compass and steps of the way", "time (s),voltage (V),current (A),pressure (hPa),compass (deg),dx (m),dy (m),yaw rate,map,VelN (m/s),distance to home (m),speed (m/s)\n" + rows(func(k int) string {
			return plain(k) + fmt.Sprintf(",1009.%02d,271,7.31%02d,8.42%02d,0.553%d,9FFW84J9+XG,1.771%d,443.%02d,0.01", k, k, k, k%10, k%10, k)
		}), "1009. 271 7.31 8.42 0.553 9FFW84J9 1.771"},
		{"positions under names of nothing", "time (s),voltage (V),current (A),p1,k2,x,y,Rechtswert,Hochwert\n" + rows(func(k int) string {
			return plain(k) + fmt.Sprintf(",p52.51%04d,13.37%04d,391776.%d,5820072.%d,4594123,5820345", k, k, k, k)
		}), "52.51 13.37 391776 5820072 4594123 5820345"},
		{"positions in minutes and as one word", "time (s),voltage (V),current (A),fix,where\n" + rows(func(k int) string {
			return plain(k) + fmt.Sprintf(",5230.%04dN,\"52.51%04d, 13.37%04d\"", k, k, k)
		}), "5230. 52.51 13.37"},
		{"a speed whose unit positions settle", "time (s),voltage (V),current (A),speed,lat,lon\n" + rows(func(k int) string {
			return plain(k) + fmt.Sprintf(",18.0,%.6f,13.370000", 52.51+5*float64(k)/111194.93)
		}), "52.51 13.37"},
		{"sentences of a receiver", "time (s),voltage (V),current (A),nmea\n" + rows(func(k int) string {
			return plain(k) + fmt.Sprintf(",$GPGGA 12351%d 5230.5%03d N 01322.2%03d E", k%10, k, k)
		}), "GPGGA 5230.5 01322.2"},
		{"sentences between the rows", "time (s),voltage (V),current (A)\n" + rows(func(k int) string {
			if k%6 != 1 {
				return plain(k)
			}
			return plain(k) + fmt.Sprintf("\n$GPRMC,12%02d19,A,5230.5%03d,N,01322.2%03d,E,022.4,084.4,230394,003.1,W*6A\n# at 52.51%04d 13.37%04d", k, k, k, k, k)
		}), "GPRMC 5230.5 01322.2 52.51 13.37"},
		{"sentences of as many fields", "time (s),voltage (V),current (A),power (W)\n" + rows(func(k int) string {
			if k%5 == 2 {
				return fmt.Sprintf("$GPGLL,5230.5%03d,N,01322.2%03d", k, k)
			}
			return plain(k) + fmt.Sprintf(",%.1f", (26-0.01*float64(k))*(5+float64(k%3)))
		}), "GPGLL 5230.5 01322.2"},
		{"a head block again", "time (s),voltage (V),current (A)\n" + rows(func(k int) string {
			if k == 30 {
				return "User: JANEDOE\nSerial,SN4711882,1\ntime (s),voltage (V),current (A)\n" + plain(k)
			}
			return plain(k)
		}), "JANEDOE SN4711882"},
		{"columns of whose", "time (s),voltage (V),current (A),Device,User,Serial number,Remark\n" + rows(func(k int) string { return plain(k) + ",DEVICEID77,JANEDOE,4711882,\"behind the HOUSE, 3\"" }), "DEVICEID77 JANEDOE 4711882 HOUSE"},
		{"the first column of whose", "Device;time (s);voltage (V);current (A)\n" + rows(func(k int) string { return fmt.Sprintf("DEVICEID77;%d;26.%02d;5.%d", k, 99-k, k%3) }), "DEVICEID77"},
		{"words in heads", "time (s),JANEDOE pack voltage SN4711882 (V),current (A) of jane.doe@example.org\n" + rows(plain), "JANEDOE 4711882 example.org"},
		{"cells with more", "time (s),voltage (V),current (A),state\n" + rows(func(k int) string {
			if k == 12 {
				return "12,JANEDOE,5,discharge"
			}
			return plain(k) + ",discharge at JANEDOE"
		}), "JANEDOE"},
		{"formulas", "time (s),voltage (V),current (A),remark\n" + rows(func(k int) string {
			if k == 20 {
				return "20,=cmd|' /C calc'!A0,@SUM(5),+JANEDOE"
			}
			return plain(k) + ",=HYPERLINK(\"JANEDOE\")"
		}), "cmd HYPERLINK SUM JANEDOE"},
		{"between blanks", "DEVICEID77 logger of JANEDOE\ntime voltage current lat lon id\n" + rows(func(k int) string {
			return fmt.Sprintf("%d %.2f %d 52.51%04d 13.37%04d DEVICEID77", k, 26.0, 5+k%3, k, k)
		}), "DEVICEID77 JANEDOE 52.51 13.37"},
		{"UTF-16", utf16le("User: JANEDOE\ntime (s),voltage (V),current (A),lat,lon\n" + rows(func(k int) string { return plain(k) + fmt.Sprintf(",52.51%04d,13.37%04d", k, k) })), "JANEDOE 52.51 13.37"},
		{"a quoted cell over lines", "time (s),voltage (V),current (A),remark\n" + rows(func(k int) string { return plain(k) + ",\"JANEDOE\nof HOUSE 3\"" }), "JANEDOE HOUSE"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, seed := range strings.Fields(c.seeds) {
				if !strings.Contains(strings.ReplaceAll(c.log, "\x00", ""), seed) {
					t.Fatalf("the log has no %s", seed)
				}
			}
			clean, taken, err := cleaned(t, []byte(c.log), NewOptions(), PublishedPlaces{})
			if err != nil {
				t.Fatal(err)
			}
			for _, seed := range strings.Fields(c.seeds) {
				if strings.Contains(string(clean), seed) {
					t.Errorf("%s is left:\n%.400s", seed, clean)
				}
			}
			if len(taken.Words()) == 0 {
				t.Error("nothing is said to be taken")
			}
			for n, line := range strings.Split(string(clean), "\n") {
				for _, cell := range strings.FieldsFunc(line, func(r rune) bool { return r == ',' || r == ';' }) {
					if strings.ContainsAny(cell[:1], "=+@\t\r") || cell[0] == '-' && !isDigit(cell[min(1, len(cell)-1)]) {
						t.Errorf("line %d: %q opens as a formula", n+1, cell)
					}
				}
			}
			if !measuresAlike(t, c.name, []byte(c.log)) {
				_, found, _ := Measure(nil, strings.NewReader(c.log), NewOptions())
				t.Errorf("it is not published: %s", ruleLines(found))
			}
		})
	}
}

// utf16le is a text in UTF-16, low byte first, with its mark.
func utf16le(text string) string {
	out := []byte{0xff, 0xfe}
	for _, r := range text {
		out = append(out, byte(r), byte(r>>8))
	}
	return string(out)
}

// A row that lost a cell, so that a position stands under another head, is published without it.
func TestShiftedRowsTellNoPosition(t *testing.T) {
	var b strings.Builder
	b.WriteString("time (s),voltage (V),current (A),lat,lon,remark\n")
	for k := range 60 {
		if k == 30 {
			b.WriteString("30,5.0,52.510030,13.370030,over the bridge\n")
			continue
		}
		fmt.Fprintf(&b, "%d,%.2f,%.1f,52.51%04d,13.37%04d,on\n", k, 26-0.01*float64(k), 5+float64(k%3), k, k)
	}
	clean, _, err := cleaned(t, []byte(b.String()), NewOptions(), PublishedPlaces{})
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(clean), "52.51") || strings.Contains(string(clean), "13.37") || !strings.Contains(string(clean), "\n30,5.0,,") {
		t.Errorf("the row tells where it was, or is gone:\n%.900s", clean)
	}
}
