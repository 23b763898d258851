package outgoing

import (
	"bytes"
	"slices"
)

// marks are what the forms of pictures call the places where they hold something beside their pixels.
var marks = map[string][]struct{ mark, words string }{
	"jpeg": {
		{"Exif\x00\x00", "what the camera wrote (Exif)"}, {"http://ns.adobe.com/x", "XMP"}, {"Photoshop 3.0", "IPTC"}, {"ICC_PROFILE\x00", "a profile of colours"},
		{"MPF\x00", "further pictures"}, {"\xff\xfe", "a comment"},
	},
	"png": {
		{"eXIf", "what the camera wrote (Exif)"}, {"tEXt", "text"}, {"zTXt", "text"}, {"iTXt", "text"}, {"iCCP", "a profile of colours"}, {"tIME", "a time"},
	},
	"webp": {{"EXIF", "what the camera wrote (Exif)"}, {"XMP ", "XMP"}, {"ICCP", "a profile of colours"}},
	"gif":  {{"XMP DataXMP", "XMP"}, {"\x21\xfe", "a comment"}},
}

// ends are how the forms end.
var ends = map[string]string{"jpeg": "\xff\xd9", "png": "IEND\xaeB`\x82", "gif": "\x00\x3b"}

// besides says what a picture's file holds beside its pixels, as far as its form has a place for it. It is told to the maker;
// what leaves holds none of it whether it is told or not.
func besides(format string, data []byte) []string {
	var out []string
	for _, m := range marks[format] {
		if bytes.Contains(data, []byte(m.mark)) && !slices.Contains(out, m.words) {
			out = append(out, m.words)
		}
	}
	if end := ends[format]; end != "" && !bytes.HasSuffix(data, []byte(end)) {
		out = append(out, "bytes behind its end")
	}
	return out
}
