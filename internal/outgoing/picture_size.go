package outgoing

import (
	"image"
	"image/color"
)

// perPixel is how many bytes the standard decoders take for a pixel at the most, the result and what is needed on the way to it.
func perPixel(config image.Config, format string, data []byte) float64 {
	switch format {
	case "jpeg":
		return jpegPerPixel(data)
	case "gif":
		return 2 // indexes, and a copy while a laced picture is put in order
	case "webp":
		return 8 // colours as they are packed, and unpacked
	}
	per := 4.0
	switch config.ColorModel {
	case color.GrayModel:
		per = 1
	case color.Gray16Model:
		per = 2
	case color.RGBA64Model, color.NRGBA64Model:
		per = 8
	default:
		if _, ok := config.ColorModel.(color.Palette); ok {
			per = 1
		}
	}
	const interlace = 28 // in the head of a PNG
	if len(data) > interlace && data[interlace] != 0 {
		per *= 2 // a picture for each pass as well
	}
	return per
}

// jpegPerPixel reads from the frame's head (ITU-T T.81, B.2.2) how many samples a pixel has. In a progressive frame the
// coefficients of all blocks, four bytes each, are kept until its end.
func jpegPerPixel(data []byte) float64 {
	const unknown = 20
	for at := 2; at+4 <= len(data) && data[at] == 0xff; {
		marker, size := data[at+1], int(data[at+2])<<8|int(data[at+3])
		if marker == 0xff { // filling
			at++
			continue
		}
		if size < 2 || at+2+size > len(data) {
			return unknown
		}
		if marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc {
			segment := data[at+4 : at+2+size]
			if len(segment) < 6 || len(segment) < 6+3*int(segment[5]) {
				return unknown
			}
			samples, most := 0.0, 1.0
			for i := range int(segment[5]) {
				hv := segment[6+3*i+1]
				area := float64(hv>>4) * float64(hv&15)
				samples, most = samples+area, max(most, area)
			}
			per := samples / most
			if segment[5] == 4 {
				per += 4 // a fourth colour is taken apart and put together again
			}
			if marker == 0xc2 || marker == 0xc6 || marker == 0xca || marker == 0xce {
				per *= 1 + 4
			}
			return per
		}
		at += 2 + size
	}
	return unknown
}
