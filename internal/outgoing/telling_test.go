package outgoing

import (
	"strings"
	"testing"
)

func TestPositionsInText(t *testing.T) {
	for _, text := range []string{
		"geo:64.1234,-21.8", "64.12347, -21.94321", "64,12347; 21,94321", "64.12347 21.94321", "64.12347° N, 21.94321° W", "64° 7′ 24.5″ N", "64°07'24\"N", "N 64° 7.408", "64.1° N", "N 64.12347 W 21.94321", "N64.123, W021.943", "64.123 N 21.943 W", "64.12347 n, 21.94321 w",
		"https://example.org/map?q=64.1234,-21.9432", "https://example.org/#map=17/64.12347/-21.94321", "https://example.org/@64.1234,-21.9432,17z", "[there](https://example.org/?lat=64.12&lon=-21.94)",
		"Position: 64.1, -21.9", "the GPS said 64.1, 21.9.", "place: \"64.1, -21.9\"", "$GPGGA,123519,6407.408,N,02156.59,W", "lat: 64.12", "\"latitude\": 64.12", "Längengrad = 21,94", "9FFW84J9+XG", "33W 391776 7120072",
	} {
		if len(Positions("We met there: "+text+"\n")) == 0 {
			t.Errorf("%q is taken for no position", text)
		}
	}
	for _, text := range []string{
		"3.3012, 3.2987 and 3.3001 V", "| 24.98 / 32.93 | -2.79826 | -2.80226 |", "24.5, 25.1", "at 25 °C, 0 °C", "0.00948, 0.01901", "24 V 5.2 Ah", "in place of 24.5, 25.1 V cells", "2026-03-01 10:00:00", "1.23456 Ω", "latitude in the choice of 12.5 V",
		"flat: 3.25 V", "as long: 12.5 m", "S 7, N 4", "12 V N-channel", "12.5 N, 40.5 W", "2.345 N and 3.456 W", "S 4.5 W 40.2",
	} {
		if at := Positions(text); len(at) > 0 {
			t.Errorf("%q is taken for a position in %q", text[at[0][0]:at[0][1]], text)
		}
	}
}

func TestWhatBetraysInText(t *testing.T) {
	for text, want := range map[string]string{
		"Serial no: 4711": "a serial number or a name", "Limit: 3 A\nS/N: A-12": "a serial number or a name", "user = jane": "a serial number or a name", "Seriennummer;4711": "a serial number or a name",
		"aa:bb:cc:00:11:22": "a serial number or a name", "C:\\Users\\jane\\x.ini": "a path of a machine", "/home/jane/x": "a path of a machine", "file:///x": "a path of a machine",
		"jane@example.org": "an address of mail", "name,latitude,longitude\n1,2,3": "a position", "lon;lat\n1;2": "a position", "64.12347, -21.94321": "a position",
		"a sketch of the lid": "", "limit = 30 A\nname of the setting: ramp": "", "a user turns it; the owner pays": "", "flat,long life\n1,2": "",
	} {
		line, got := Betrays([]byte(text))
		if got != want || (line == 0) != (want == "") {
			t.Errorf("%q: line %d, %q, want %q", text, line, got, want)
		}
	}
	if line, what := Betrays([]byte("\xff\xfeu\x00s\x00e\x00r\x00:\x00 \x00j\x00")); line != 1 || what == "" {
		t.Errorf("UTF-16: %d, %q", line, what)
	}
}

func TestTablesAreWrittenAnew(t *testing.T) {
	for in, want := range map[string]string{
		"a,b\n=1+2,-3\n":         "a,b\n'=1+2,-3\n",
		"a;b\n@x;\"c;d\"\n":      "a;b\n'@x;\"c;d\"\n",
		"a\tb\n+x\t-4,5\n":       "a\tb\n'+x\t-4,5\n",
		"\xef\xbb\xbfa,b\n1,2\n": "a,b\n1,2\n", "a,\xb0C\n": "a,°C\n",
	} {
		got, err := CleanTable([]byte(in))
		if err != nil || string(got) != want {
			t.Errorf("%q: %q, %v, want %q", in, got, err, want)
		}
	}
	for _, in := range []string{"a,\"b\n", "a,\x00\n"} {
		if got, err := CleanTable([]byte(in)); err == nil {
			t.Errorf("%q: %q", in, got)
		}
	}
}

func TestWhatPicturesHoldBesides(t *testing.T) {
	got := strings.Join(besides("jpeg", []byte("\xff\xd8\xff\xe1..Exif\x00\x00\xff\xfe\x00\x03x\xff\xd9 and more")), "; ")
	if want := "what the camera wrote (Exif); a comment; bytes behind its end"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
