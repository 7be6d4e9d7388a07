package calibrate

import (
	"math"
	"slices"
)

// scale is a standard deviation that half of the rows cannot spoil: 1.4826
// times the median absolute residual, 1.4826 making it that of a normal
// distribution.
func scale(resid []float64) float64 {
	size := make([]float64, len(resid))
	for i, r := range resid {
		size[i] = abs(r)
	}
	return max(1.4826*median(size), leastDev)
}

// median sorts x; the lower of the two middle ones for an even count.
func median(x []float64) float64 {
	slices.Sort(x)
	return x[(len(x)-1)/2]
}

// weights fills dst by the size of the residuals against their scale.
// Huber's never vanish and find the neighbourhood from afar; Tukey's take
// outliers out altogether.
func weights(dst, resid []float64, scale float64, far bool) {
	for i, r := range resid {
		u := abs(r) / scale
		switch {
		case far && u <= huber:
			dst[i] = 1
		case far:
			dst[i] = huber / u
		case u < tukey:
			w := 1 - float64((u/tukey)*(u/tukey))
			dst[i] = w * w
		default:
			dst[i] = 0
		}
	}
}

// loss is Tukey's, at a scale given: what two fits of one log are compared by.
func loss(resid []float64, scale float64) float64 {
	sum := 0.0
	for _, r := range resid {
		w := max(1-float64(r/scale/tukey*r/scale/tukey), 0)
		sum += 1 - float64(w*w*w)
	}
	return sum
}

// quantile returns the value that a share q of x does not exceed; x is sorted
// in place.
func quantile(x []float64, q float64) float64 {
	slices.Sort(x)
	return x[int(math.Floor(float64(q*float64(len(x)-1))))]
}
