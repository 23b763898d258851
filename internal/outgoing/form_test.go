package outgoing

import "testing"

func TestFormOf(t *testing.T) {
	for _, tt := range []struct {
		name, head string
		want       Form
	}{
		// Signatures: ITU-T T.81 B.1.1.3, W3C PNG 5.2, GIF89a section 17, RFC 9649.
		{"a.jpg", "\xff\xd8\xff\xe0", Picture},
		{"a.jfif", "\xff\xd8\xff\xe0", Picture},
		{"a.JPE", "\xff\xd8\xff\xe1", Picture},
		{"a.png", "\x89PNG\r\n\x1a\n", Picture},
		{"a.gif", "GIF89a", Picture},
		{"a.webp", "RIFF\x10\x00\x00\x00WEBPVP8 ", Picture},
		{"notes.txt", "\xff\xd8\xff\xe0", Picture}, // whatever it is called
		{"a.jpg", "no picture", Sealed},
		{"a.tif", "II*\x00", Sealed},
		{"a.tiff", "MM\x00*", Sealed},
		{"a.heic", "\x00\x00\x00\x18ftypheic", Sealed},
		{"a.avif", "\x00\x00\x00\x1cftypavif", Sealed},
		{"a.jxl", "\xff\x0a", Sealed},
		{"a.pdf", "%PDF-1.7", Sealed},
		{"a.txt", "%PDF-1.7\n%\xe2\xe3\xcf\xd3", Sealed},
		{"a.zip", "PK\x03\x04", Sealed},
		{"a.ods", "PK\x03\x04", Sealed},
		{"a.mp4", "\x00\x00\x00\x20ftypisom", Sealed},
		{"a.stl", "solid tray", Sealed},
		{"a.gpx", "<?xml version=\"1.0\"?><gpx>", Sealed},
		{"noending", "text", Sealed},
		{"a.csv", "Time (s),Voltage (V)\n0,25.6\n", Table},
		{"a.CSV", "\xef\xbb\xbfZeit;Spannung\n", Table},
		{"a.csv", "\xff\xfeT\x00i\x00", Table},
		{"a.csv", "Temp\xe9rature;1\n", Table},
		{"a.csv", "a\x00b", Sealed},
		{"a.tsv", "t\tU\n", Table},
		{"a.txt", "a sketch\n", Text},
		{"a.ino", "void setup() {}\n", Text},
		{"a.txt", "", Text},
		{"a.html", "anything", Active},
		{"a.HTM", "", Active},
		{"a.xhtml", "", Active},
		{"a.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\">", Active},
		{"a.svgz", "\x1f\x8b", Active},
		{"a.js", "alert(1)", Active},
		{"a.mjs", "", Active},
		{"a.xml", "", Active},
		{"a.css", "", Active},
		{"a.hta", "", Active},
		{"a.txt", " \r\n\t<!DOCTYPE html>", Active},
		{"a.csv", "\xef\xbb\xbf<script>alert(1)</script>", Active},
		{"a.md", "<svg onload=alert(1)>", Active},
		{"setup.bat", "echo", Active},
	} {
		if got := FormOf(tt.name, []byte(tt.head)); got != tt.want {
			t.Errorf("FormOf(%q, %q) = %s, want %s", tt.name, tt.head, got, tt.want)
		}
	}
}
