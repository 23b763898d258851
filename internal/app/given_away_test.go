package app

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/outgoing/phototest"
	"voltwright/internal/proof"
	"voltwright/internal/site"
)

// placeOf is the n-th made-up position; all lie in the open sea.
func placeOf(n uint32) *phototest.Angle {
	return &phototest.Angle{Degrees: 64 + n%5, Minutes: 7 + 3*n, Hundredths: 1234 + 97*n}
}

var farWest = phototest.Angle{Degrees: 31, Minutes: 50, Hundredths: 3377}

// seededJournal writes a journal with thirty things in it that must not leave it, each in another place or form.
func seededJournal(t *testing.T, dir string) []seed {
	t.Helper()
	var seeds []seed
	var links, runs strings.Builder
	files := map[string][]byte{}
	words := func(file, word, told string) string {
		seeds = append(seeds, seed{file: file, word: word, told: told})
		return word
	}
	position := func(file, told string) seed {
		s := seed{file: file, place: placeOf(uint32(len(seeds))), told: told}
		seeds = append(seeds, s)
		return s
	}
	run := func(name, log string) {
		at := "cart/1-first/" + name
		files[at] = []byte(log)
		slug := strings.TrimSuffix(name, filepath.Ext(name))
		files["cart/1-first/"+slug+".md"] = []byte(fmt.Sprintf("---\nkind: run\ntype: field\nname: %s\ndate: 2026-03-%02d\nlog: {file: %s}\n---\n", slug, 1+strings.Count(runs.String(), "\n"), name))
		runs.WriteString(slug + "\n")
	}
	link := func(name string, data []byte) {
		files["cart/1-first/"+name] = data
		fmt.Fprintf(&links, "- [a file](%s)\n", name)
	}
	seededLogs(run, words, position)
	seededPictures(t, link, words, position)
	files["journal.yaml"] = []byte("title: A book\naddress: https://example.org/\nlanguage: en\nmaker: {name: A maker}\n")
	files["cart/vehicle.md"] = []byte("---\nkind: vehicle\nname: The cart\n---\n")
	files["cart/1-first/version.md"] = []byte("---\nkind: version\nname: First\ndate: 2026-01-02\npacks: [{chemistry: lfp, series: 8, capacity: 10 Ah}]\n---\nIts files:\n\n" + links.String())
	files["questions/how-long.md"] = []byte("---\nkind: question\ntitle: How long did it go?\nbears: [cart/1-first/a-columns]\n---\nIt went [59 s](value:cart/1-first/a-columns/elapsed-time).\n")
	for name, data := range files {
		if err := put(filepath.Join(dir, filepath.FromSlash(name)), data); err != nil {
			t.Fatal(err)
		}
	}
	return seeds
}

type (
	hideWord  func(file, word, told string) string
	hidePlace func(file, told string) seed
)

// seededLogs are the logs: in their heads, columns, rows and comments.
func seededLogs(run func(name, log string), words hideWord, position hidePlace) {
	log := func(above, more string, rest func(k int) string) string {
		var b strings.Builder
		b.WriteString(above + "time (s),voltage (V),current (A),speed (m/s)" + more + "\n")
		for k := range 60 {
			fmt.Fprintf(&b, "%d,%.2f,%.1f,1.5%s\n", k, 26-0.01*float64(k), 5+float64(k%3), rest(k))
		}
		return b.String()
	}
	at := func(name string) string { return "cart/1-first/" + name }
	none := func(int) string { return "" }
	p := position(at("a-columns.csv"), "where it was")
	run("a-columns.csv", log("", ",Latitude,Longitude,Altitude (m),Heading", func(k int) string { return fmt.Sprintf(",%s%02d,-31.8427%02d,34,271", p.degrees(6), k, k) }))
	p = position(at("b-comma.csv"), "where it was")
	run("b-comma.csv", strings.NewReplacer(",", ";", ".", ",").Replace(log("", ",Breitengrad,Längengrad", func(k int) string { return fmt.Sprintf(",%s%02d,-31.8427%02d", p.degrees(6), k, k) })))
	p = position(at("c-above.csv"), "a position")
	run("c-above.csv", log("Position: "+p.degrees(6)+" -31.842700\n\n", "", none))
	p = position(at("d-sentences.csv"), "column")
	minutes := fmt.Sprintf("%02d%02d.%04d", p.place.Degrees, p.place.Minutes, p.place.Hundredths*100/60)
	run("d-sentences.csv", log("", ",fix", func(k int) string { return fmt.Sprintf(",$GPGGA %s N 03150.5 W", minutes) }))
	p = position(at("e-between.csv"), "between the rows")
	run("e-between.csv", log("", "", func(k int) string {
		if k%10 == 3 {
			return "\n# passed " + p.degrees(6) + " -31.842700"
		}
		return ""
	}))
	p = position(at("f-names.csv"), "column")
	run("f-names.csv", log("", ",k1,k2", func(k int) string { return fmt.Sprintf(",%s%02d,-31.8427%02d", p.degrees(6), k, k) }))
	run("g-serial.csv", log("Serial no: "+words(at("g-serial.csv"), "SN-4711-88213", "a serial number")+"\n", "", none))
	run("h-user.csv", log("User: "+words(at("h-user.csv"), "quentinharbottle", "a name")+"\n", "", none))
	run("i-path.csv", log("# C:\\Users\\"+words(at("i-path.csv"), `imogenfarraday\Documents`, "a path")+"\\ride.csv\n", "", none))
	run("j-home.csv", log("file /home/"+words(at("j-home.csv"), "otisbramwell", "a path")+"/ride.csv\n", "", none))
	device := words(at("k-device.csv"), "DEV99120457", "column")
	run("k-device.csv", log("", ",Device ID", func(int) string { return "," + device }))
	who := words(at("l-remark.csv"), "wilhelminaoak", "column")
	run("l-remark.csv", log("", ",Remark", func(k int) string { return ",\"with " + who + ", again\"" }))
	run("m-head.csv", strings.Replace(log("", "", none), "voltage (V)", "pack "+words(at("m-head.csv"), "SN55120993", "head")+" voltage (V)", 1))
	again := words(at("n-again.csv"), "leopoldwren", "could not be read")
	run("n-again.csv", log("", "", func(k int) string {
		if k == 30 {
			return "\nUser: " + again
		}
		return ""
	}))
	wide := []byte{0xff, 0xfe}
	for _, r := range log("Owner: "+words(at("o-wide.csv"), "marigoldpike", "a name")+"\n", "", none) {
		wide = append(wide, byte(r), byte(r>>8))
	}
	run("o-wide.csv", string(wide))
}

// seededPictures are pictures of every ending, documents, texts and tables.
func seededPictures(t *testing.T, link func(name string, data []byte), words hideWord, position hidePlace) {
	at := func(name string) string { return "cart/1-first/" + name }
	exif := func(name string, big bool, told string) []byte {
		p := position(at(name), told)
		serial := words(at(name), "CAM"+strings.ToUpper(strings.TrimSuffix(name, filepath.Ext(name)))+"7731", told)
		owner := words(at(name), "owner"+strings.TrimSuffix(name, filepath.Ext(name))+"penhallow", told)
		return phototest.Exif(big, *p.place, farWest, serial, owner)
	}
	segment := func(marker byte, head string, data []byte) []byte {
		return append(append([]byte{marker}, head...), data...)
	}
	const app1, app2, app13, comment = 0xe1, 0xe2, 0xed, 0xfe
	const camera = "what the camera wrote"
	link("pa.jpg", phototest.JPEG(t, [][]byte{segment(app1, "Exif\x00\x00", exif("pa.jpg", false, camera))}, ""))
	link("pb.jpe", phototest.JPEG(t, [][]byte{segment(app1, "Exif\x00\x00", exif("pb.jpe", true, camera))}, ""))
	x := position(at("pc.jfif"), "XMP")
	link("pc.jfif", phototest.JPEG(t, [][]byte{segment(app1, "http://ns.adobe.com/xap/1.0/\x00", []byte(`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" exif:GPSLatitude="`+x.degrees(6)+`N"/></rdf:RDF></x:xmpmeta>`))}, ""))
	link("pd.jpeg", phototest.JPEG(t, [][]byte{segment(app13, "Photoshop 3.0\x00", []byte(words(at("pd.jpeg"), "iptcthistlewood", "IPTC"))), segment(comment, "", []byte(words(at("pd.jpeg"), "commentlarkspur", "a comment"))),
		segment(app2, "ICC_PROFILE\x00\x01\x01", []byte("device "+words(at("pd.jpeg"), "ICC88431207", "a profile of colours")))}, "ftypmp42 "+words(at("pd.jpeg"), "filmedbybrackenbury", "behind its end")))
	link("pe.png", phototest.PNG(t, [][]byte{append([]byte("eXIf"), exif("pe.png", true, camera)...), append([]byte("tEXtAuthor\x00"), words(at("pe.png"), "textpettigrew", "text")...),
		append([]byte("zTXtComment\x00\x00"), phototest.Packed(t, words(at("pe.png"), "packedhollyoak", "text"))...)}, words(at("pe.png"), "trailingfoxglove", "behind its end")))
	link("pf.gif", phototest.GIF(t, words(at("pf.gif"), "gifmaplethorpe", "a comment")))
	link("pg.webp", phototest.WebP(t, exif("pg.webp", false, camera)))
	link("ph.tif", exif("ph.tif", false, site.RuleSealedFile))
	for _, name := range []string{"pi.heic", "pj.avif"} {
		link(name, append([]byte("\x00\x00\x00\x18ftyp"+name[3:]+"\x00\x00\x00\x00mif1Exif\x00\x00"), exif(name, true, site.RuleSealedFile)...))
	}
	link("pk.svg", []byte(`<svg xmlns="http://www.w3.org/2000/svg"><desc>`+words(at("pk.svg"), "svgkingfisher", site.RuleActiveFile)+`</desc></svg>`))
	link("pl.pdf", []byte("%PDF-1.4\n1 0 obj\n<< /Author ("+words(at("pl.pdf"), "pdfgreenshank", site.RuleSealedFile)+") >>\nendobj\ntrailer << /Info 1 0 R >>\n%%EOF\n"))
	link("pm.zip", []byte("PK\x03\x04 /home/"+words(at("pm.zip"), "zipsandpiper", site.RuleSealedFile)))
	place := position(at("pn.gpx"), site.RuleSealedFile)
	link("pn.gpx", []byte(`<gpx><trkpt lat="`+place.degrees(6)+`" lon="-31.842700"/></gpx>`))
	link("po.txt", []byte("Limit: 30 A\nSerial no: "+words(at("po.txt"), "SN31337001", site.RuleTellingFile)+"\n"))
	place = position(at("pq.csv"), site.RuleTellingFile)
	link("pq.csv", []byte("name,latitude,longitude\ngate,"+place.degrees(6)+",-31.842700\n"))
	place = position(at("pr.json"), site.RuleTellingFile)
	link("pr.json", []byte(`{"lat": `+place.degrees(6)+`, "lon": -31.842700}`))
}

// TestNothingIsGivenAway: of a journal in whose logs, head lines, pictures of every ending, documents and texts positions, serial
// numbers, names and paths are hidden, independent readers find all, and of what leaves it none: the site with its feeds, JSON
// and CSV, a bag, the trial print, and what commands print. The list of what goes online says for each what became of it.
func TestNothingIsGivenAway(t *testing.T) {
	parent := filepath.Join(t.TempDir(), "home-of-barnabyquill")
	dir := filepath.Join(parent, "journal")
	seeds := seededJournal(t, dir)
	raw := seek(t, dir, seeds)
	for _, s := range seeds {
		if len(raw[s.String()]) == 0 {
			t.Errorf("the search does not find %s, which is in %s", s, s.file)
		}
	}
	if len(raw["a position that exiftool reads"]) == 0 || len(seeds) < 30 {
		t.Fatalf("%d seeds, and exiftool reads no position: the search proves nothing", len(seeds))
	}
	t.Logf("%d seeds, all found in the journal", len(seeds))

	out := t.TempDir()
	speak := func(name string, args ...string) []byte {
		var stdout, stderr bytes.Buffer
		status := Main(args, strings.NewReader(""), &stdout, &stderr)
		if status != 0 {
			t.Fatalf("voltwright %s: %d\n%s%s", strings.Join(args, " "), status, stdout.String(), stderr.String())
		}
		if err := os.WriteFile(filepath.Join(out, name), stdout.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return stdout.Bytes()
	}
	speak("publish.txt", "publish", dir, "--to", filepath.Join(out, "site"))
	speak("archive.txt", "archive", "cart/1-first", "--journal", dir, "--to", filepath.Join(out, "bag"))
	speak("verify.json", "archive", "--verify", filepath.Join(out, "bag"), "--format", "json")
	speak("predict.txt", "predict", "cart/1-first", "--journal", dir)
	speak("reply.txt", "reply", "how-long", "--journal", dir)
	speak("values.txt", "values", "--journal", dir)
	for _, name := range []string{"a-columns.csv", "h-user.csv", "m-head.csv", "n-again.csv"} {
		t.Chdir(filepath.Join(dir, "cart/1-first")) // a command prints the path that it was given
		speak("measure-"+name+".txt", "measure", name)
	}
	printTrial(t, dir, filepath.Join(out, "trial"))
	for _, name := range []string{"publish.txt", "archive.txt"} { // they say where they wrote, on the maker's own terminal
		if err := os.Remove(filepath.Join(out, name)); err != nil {
			t.Fatal(err)
		}
	}
	for what, where := range seek(t, out, append(seeds, seed{word: "barnabyquill"})) {
		t.Errorf("%s leaves the journal: %s", what, strings.Join(where, "; "))
	}
	agrees(t, speak("outgoing.json", "inspect", "--outgoing", "--format", "json", dir), seeds)
}

// printTrial writes the files of a trial print, and what it says of them.
func printTrial(t *testing.T, dir, to string) {
	t.Helper()
	p := setPrint(dir, means{}, proof.Early{})
	pages, ok := p.Site.(*site.Pages)
	if !ok || pages == nil {
		t.Fatalf("there is no trial print: %+v", p.Remarks)
	}
	for _, name := range pages.Paths() {
		r, err := pages.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err == nil {
			err = put(filepath.Join(to, filepath.FromSlash(name)), data)
		}
		if err != nil || r.Close() != nil {
			t.Fatal(err)
		}
	}
	var said strings.Builder
	for _, r := range p.Remarks {
		fmt.Fprintf(&said, "%+v\n", r)
	}
	if err := put(filepath.Join(to, "remarks.txt"), []byte(said.String())); err != nil {
		t.Fatal(err)
	}
}

// agrees holds the list of what goes online against the seeds: each file is there, with what was taken or why it stays.
func agrees(t *testing.T, list []byte, seeds []seed) {
	t.Helper()
	var l outgoingList
	if err := json.Unmarshal(list, &l); err != nil {
		t.Fatal(err)
	}
	said := map[string]string{}
	for _, o := range l.Online {
		said[o.From] = "without " + strings.Join(o.Without, "; ")
	}
	for _, s := range l.Staying {
		said[s.Path] = "stays: " + s.Why + " [" + s.Rule + "]"
	}
	for _, s := range seeds {
		if !strings.Contains(said[s.file], s.told) {
			t.Errorf("of %s, which holds %s, the list says %q, and not %q", s.file, s, said[s.file], s.told)
		}
	}
}
