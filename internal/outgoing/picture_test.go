package outgoing

import (
	"bytes"
	"image/jpeg"
	"image/png"
	"testing"

	"voltwright/internal/outgoing/phototest"
)

// Orientations as Exif (CIPA DC-008, tag 274) defines them: which corner of the stored picture is shown where.
func TestPhotosLoseWhereTheyWereTaken(t *testing.T) {
	shown := map[uint16]string{ // top left, top right, bottom left, bottom right
		1: "rgbw", 2: "grwb", 3: "wbgr", 4: "bwrg", 5: "rbgw", 6: "brwg", 7: "wgbr", 8: "gwrb",
	}
	for orientation, want := range shown {
		c, err := CleanPicture(phototest.Photo(t, phototest.Corners(80, 60), orientation))
		if err != nil {
			t.Fatal(err)
		}
		clean, w, h := c.Data, c.Width, c.Height
		if c.Ending != ".jpg" {
			t.Error("a photo did not stay a JPEG")
		}
		for _, secret := range []string{"SECRET", "GPS", "Exif", "Photoshop"} {
			if bytes.Contains(clean, []byte(secret)) {
				t.Errorf("orientation %d: %q is still in the picture", orientation, secret)
			}
		}
		img, err := jpeg.Decode(bytes.NewReader(clean))
		if err != nil {
			t.Fatal(err)
		}
		size := img.Bounds().Size()
		if tall := orientation >= 5; tall != (size.Y > size.X) || size.X != w || size.Y != h {
			t.Errorf("orientation %d: %v, said to be %d by %d", orientation, size, w, h)
		}
		got := ""
		for _, p := range [][2]int{{size.X / 4, size.Y / 4}, {size.X * 3 / 4, size.Y / 4}, {size.X / 4, size.Y * 3 / 4}, {size.X * 3 / 4, size.Y * 3 / 4}} {
			r, g, b, _ := img.At(p[0], p[1]).RGBA()
			switch {
			case r > 0x8000 && g > 0x8000:
				got += "w"
			case r > 0x8000:
				got += "r"
			case g > 0x8000:
				got += "g"
			case b > 0x8000:
				got += "b"
			}
		}
		if got != want {
			t.Errorf("orientation %d shows %q, want %q", orientation, got, want)
		}
	}
}

func TestPicturesAreScaledAndKeepTheirKind(t *testing.T) {
	var drawing bytes.Buffer
	if err := png.Encode(&drawing, phototest.Corners(2400, 300)); err != nil {
		t.Fatal(err)
	}
	c, err := CleanPicture(drawing.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	if c.Ending != ".png" || c.Width != 1600 || c.Height != 200 {
		t.Errorf("a drawing of 2400 by 300 became %d by %d, %s", c.Width, c.Height, c.Ending)
	}
	if _, err := png.Decode(bytes.NewReader(c.Data)); err != nil {
		t.Error(err)
	}
}

func FuzzOrientation(f *testing.F) {
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x10Exif\x00\x00II*\x00\xff\xff\xff\xff"))
	f.Fuzz(func(t *testing.T, data []byte) {
		how := orientation(data)
		if how < 0 || how > 0xffff {
			t.Error(how)
		}
	})
}
