package picture

import (
	"bytes"
	"image"
	"image/jpeg"

	"golang.org/x/image/draw"
)

// Views are what of a picture is shown in its place: JPEG of at most [ViewSide] and
// [ThumbSide] on the longest side.
type Views struct {
	View  []byte // nil where the picture itself is no larger
	Thumb []byte
}

// Views makes the views of a picture that [Clean] or [Whole] has returned.
func (p Picture) Views() (v Views, err error) {
	img := p.shown
	if max(p.Width, p.Height) > ViewSide {
		img = scaled(img, ViewSide)
		if v.View, err = encoded(img); err != nil {
			return v, err
		}
	}
	v.Thumb, err = encoded(scaled(img, ThumbSide))
	return v, err
}

// scaled is a picture of at most so many pixels on its longest side, on white where
// it can be seen through.
func scaled(src image.Image, side int) image.Image {
	w, h := src.Bounds().Dx(), src.Bounds().Dy()
	if large := max(w, h); large > side {
		w, h = max(1, (w*side+large/2)/large), max(1, (h*side+large/2)/large)
	}
	dst := image.NewRGBA(image.Rect(0, 0, w, h))
	draw.Draw(dst, dst.Bounds(), image.White, image.Point{}, draw.Src)
	draw.BiLinear.Scale(dst, dst.Bounds(), src, src.Bounds(), draw.Over, nil) // weighs every pixel under a new one
	return dst
}

func encoded(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 82})
	return b.Bytes(), err
}
