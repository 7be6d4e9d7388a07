// Package artwork reads the profile, rout and score layers of a board from
// artwork in the extended RS-274X format with X2 attributes, and makes contours
// of what is drawn there.
package artwork
