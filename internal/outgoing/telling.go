package outgoing

import (
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"
)

// What a line of text may tell of its maker, by the words that stand before it and by its form. That nothing is found
// proves nothing: it is a help to the eye, and what must not leave is left out whatever it looks like.
var (
	coordinates = sync.OnceValue(func() []*regexp.Regexp {
		return []*regexp.Regexp{
			regexp.MustCompile(`(?i)\b[NS]\s*\d{1,2}[.,]\d{3,}\s*°?\s*[,;/ ]\s*[EWO]\s*\d{1,3}[.,]\d{3,}|\b\d{1,2}[.,]\d{3,}\s*°?\s*[NS]\s*[,;/ ]\s*\d{1,3}[.,]\d{3,}\s*°?\s*[EWO]\b`), // N 52.516 E 13.377
			regexp.MustCompile(`(?i)\bgeo:\s*[+-]?\d{1,2}(\.\d+)?,\s*[+-]?\d{1,3}(\.\d+)?`),                                                                                            // RFC 5870
			regexp.MustCompile(`[+-]?\b([1-9]\d?[.,]\d{5,}\s*°?\s*[NSns]?\s*[,; ]\s*[+-]?\d{1,3}|\d{1,2}[.,]\d{5,}\s*°?\s*[NSns]?\s*[,; ]\s*[+-]?[1-9]\d{0,2})[.,]\d{5,}`),             // 52.51627, 13.37770
			regexp.MustCompile(`\b\d{1,2}\s*°\s*\d{1,2}([.,]\d+)?\s*['’′]?\s*(\d{1,2}([.,]\d+)?\s*["”″]?)?\s*[NSns]\b`),                                                                // 52° 30′ 58″ N
			regexp.MustCompile(`(?i)\b[NS]\s*\d{1,2}\s*°\s*\d{1,2}([.,]\d+)?`),                                                                                                         // N 52° 30.9
			regexp.MustCompile(`(?i)\b\d{1,2}[.,]\d+\s*°\s*[NS]\b`),                                                                                                                    // 52.5° N
			regexp.MustCompile(`(?i)https?://\S*[=/@][+-]?\d{1,2}\.\d{2,}(,|/|;|%2C|&[a-z]+=)[+-]?\d{1,3}\.\d{2,}`),                                                                    // a link to a map
			regexp.MustCompile(`(?i)\b(position|gps|coordinates?|co-ordinates?|koordinaten|standort|location|coordonnées|coördinaten|locatie|place|ort|lieu|plaats|home|lat/lon|lat, ?lon)[^\d\n]{1,30}[+-]?\d{1,2}\.\d+\s*[,;]\s*[+-]?\d{1,3}\.\d+\s*([^\s\pL%°\d]|$)`),
			regexp.MustCompile(`\$G[PNLAB][A-Z]{3},`), // NMEA 0183
			regexp.MustCompile(`(?i)\b(lat|latitude|breite|breitengrad|breedtegraad)["']?\s*[:=>]\s*["']?[+-]?\d{1,2}[.,]\d{2,}`),
			regexp.MustCompile(`(?i)\b(lon|lng|long|longitude|länge|längengrad|lengtegraad)["']?\s*[:=>]\s*["']?[+-]?\d{1,3}[.,]\d{2,}`),
			regexp.MustCompile(`\b[23456789CFGHJMPQRVWX]{8}\+[23456789CFGHJMPQRVWX]{2,3}\b`), // an open location code
			regexp.MustCompile(`\b\d{1,2}[C-HJ-NP-X]\s+\d{6}(\.\d+)?\s+\d{6,7}\b`),           // zone, easting, northing
		}
	})
	homePath    = lazily(`(?i)([a-z]:\\|\\\\[a-z0-9]|/home/|/users/|\\users\\|/root/|/media/|/mnt/|/storage/|/var/mobile|/sdcard|file://)`)
	mailAddress = lazily(`[\pL\d._%+-]+@[\pL\d-]+(\.[\pL\d-]+)+`)
	macAddress  = lazily(`(?i)\b([0-9a-f]{2}[:-]){5}[0-9a-f]{2}\b`)
)

// lazily is an expression that is compiled when it is first asked for. One that cannot be compiled panics then.
func lazily(expression string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expression) })
}

// tellingWords are labels of head lines, in the languages that logs are read in.
var tellingWords = []struct {
	what  string
	words []string
}{
	{"a serial number", []string{"serial", "serialno", "serialnumber", "sn", "s/n", "seriennummer", "serien", "série", "serie", "serienr", "serienummer", "imei", "mac", "uuid", "udid", "vin", "deviceid", "hwid", "chipid"}},
	{"a name", []string{"user", "username", "operator", "owner", "author", "recorded", "name", "benutzer", "bediener", "besitzer", "prüfer", "utilisateur", "opérateur", "propriétaire", "nom", "gebruiker", "eigenaar", "naam", "rider", "driver", "contact", "account", "login", "profile"}},
	{"a device", []string{"device", "phone", "gerät", "geraet", "appareil", "apparaat", "toestel", "computer", "host", "hostname", "machine", "model"}},
	{"a date of birth", []string{"birth", "born", "birthday", "dob", "geburtsdatum", "geboren", "naissance", "geboortedatum"}},
	{"an address", []string{"address", "street", "city", "home", "location", "adresse", "straße", "strasse", "ort", "wohnort", "adres", "rue", "ville", "straat", "phone", "telephone", "telefon", "tel"}},
	{"a path", []string{"path", "folder", "directory", "filename", "file", "pfad", "ordner", "datei", "chemin", "dossier", "fichier", "bestand", "map"}},
}

// Positions says where in a text a position stands, by its bytes; nil where none does.
func Positions(text string) [][]int {
	var all [][]int
	for _, form := range coordinates() {
		all = append(all, form.FindAllStringIndex(text, -1)...)
	}
	slices.SortFunc(all, func(a, b []int) int { return a[0] - b[0] })
	var out [][]int
	for _, at := range all {
		if n := len(out); n > 0 && at[0] < out[n-1][1] {
			out[n-1][1] = max(out[n-1][1], at[1])
			continue
		}
		out = append(out, at)
	}
	return out
}

// Telling says what a line of a log's head looks to tell of its maker, in words.
func Telling(line string) []string {
	var out []string
	words := strings.FieldsFunc(strings.ToLower(line), func(r rune) bool { return !unicode.IsLetter(r) && r != '/' })
	for _, t := range tellingWords {
		if slices.ContainsFunc(words, func(w string) bool { return slices.Contains(t.words, w) }) {
			out = append(out, t.what)
		}
	}
	add := func(what string, is bool) {
		if is && !slices.Contains(out, what) {
			out = append(out, what)
		}
	}
	add("a path", homePath().MatchString(line))
	add("a serial number", macAddress().MatchString(line))
	add("an address", mailAddress().MatchString(line))
	add("a position", len(Positions(line)) > 0)
	return out
}
