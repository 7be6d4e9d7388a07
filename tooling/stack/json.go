package stack

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"example.org/pinstack/tooling"
)

// seconds is a duration that JSON writes as a decimal number of seconds,
// exact to the nanosecond.
type seconds time.Duration

// MarshalJSON writes seconds without trailing zeros.
func (s seconds) MarshalJSON() ([]byte, error) {
	sign, n := "", uint64(s)
	if s < 0 {
		sign, n = "-", -n
	}
	text := fmt.Sprintf("%s%d.%09d", sign, n/1e9, n%1e9)
	return []byte(strings.TrimSuffix(strings.TrimRight(text, "0"), ".")), nil
}

// UnmarshalJSON reads a number of seconds, rounded to whole nanoseconds.
func (s *seconds) UnmarshalJSON(src []byte) error {
	whole, part, _ := strings.Cut(string(src), ".")
	if len(part) <= 9 && !strings.ContainsAny(string(src), "eE") {
		n, err := strconv.ParseInt(whole+(part + "000000000")[:9], 10, 64)
		if err == nil {
			*s = seconds(n)
			return nil
		}
	}
	f, err := strconv.ParseFloat(string(src), 64)
	if err != nil || math.Abs(f) > 9e9 {
		return fmt.Errorf("stack: %s is not a number of seconds", src)
	}
	*s = seconds(math.Round(f * 1e9))
	return nil
}

// The plain types have the fields and none of the methods; the shadows add
// the durations under keys that carry their unit.
type (
	plainSetUp SetUp
	setUpJSON  struct {
		*plainSetUp
		LoadTime seconds `json:"load_seconds"`
		Handling seconds `json:"handling_seconds"`
		Carried  seconds `json:"carried_seconds"`
	}
	plainCost Cost
	costJSON  struct {
		*plainCost
		LotTime seconds `json:"lot_seconds"`
	}
	timesJSON struct {
		Travel seconds `json:"travel_seconds"`
		Stroke seconds `json:"stroke_seconds"`
		Change seconds `json:"change_seconds"`
		Rout   seconds `json:"rout_seconds"`
	}
	plainPoint Point
	pointJSON  struct {
		*plainPoint
		Time seconds `json:"seconds"`
	}
	plainTrade Trade
	tradeJSON  struct {
		*plainTrade
		Time seconds `json:"seconds"`
	}
)

// MarshalJSON writes durations in seconds under keys that carry the unit.
func (s SetUp) MarshalJSON() ([]byte, error) {
	return json.Marshal(setUpJSON{(*plainSetUp)(&s), seconds(s.LoadTime), seconds(s.Handling), seconds(s.Carried)})
}

// UnmarshalJSON is the inverse of MarshalJSON, as strict as [tooling.Decode].
func (s *SetUp) UnmarshalJSON(src []byte) error {
	shadow := setUpJSON{plainSetUp: (*plainSetUp)(s), LoadTime: seconds(s.LoadTime), Handling: seconds(s.Handling), Carried: seconds(s.Carried)}
	if err := tooling.Decode(src, "", &shadow); err != nil {
		return err
	}
	s.LoadTime, s.Handling, s.Carried = time.Duration(shadow.LoadTime), time.Duration(shadow.Handling), time.Duration(shadow.Carried)
	return nil
}

// MarshalJSON writes the time in seconds under "lot_seconds".
func (c Cost) MarshalJSON() ([]byte, error) {
	return json.Marshal(costJSON{(*plainCost)(&c), seconds(c.LotTime)})
}

// UnmarshalJSON is the inverse of MarshalJSON.
func (c *Cost) UnmarshalJSON(src []byte) error {
	shadow := costJSON{(*plainCost)(c), seconds(c.LotTime)}
	if err := tooling.Decode(src, "", &shadow); err != nil {
		return err
	}
	c.LotTime = time.Duration(shadow.LotTime)
	return nil
}

// MarshalJSON writes all four in seconds under keys that carry the unit.
func (t Times) MarshalJSON() ([]byte, error) {
	return json.Marshal(timesJSON{seconds(t.Travel), seconds(t.Stroke), seconds(t.Change), seconds(t.Rout)})
}

// UnmarshalJSON is the inverse of MarshalJSON.
func (t *Times) UnmarshalJSON(src []byte) error {
	shadow := timesJSON{seconds(t.Travel), seconds(t.Stroke), seconds(t.Change), seconds(t.Rout)}
	if err := tooling.Decode(src, "", &shadow); err != nil {
		return err
	}
	*t = Times{time.Duration(shadow.Travel), time.Duration(shadow.Stroke), time.Duration(shadow.Change), time.Duration(shadow.Rout)}
	return nil
}

// MarshalJSON writes the time in seconds under "seconds".
func (p Point) MarshalJSON() ([]byte, error) {
	return json.Marshal(pointJSON{(*plainPoint)(&p), seconds(p.Time)})
}

// UnmarshalJSON is the inverse of MarshalJSON.
func (p *Point) UnmarshalJSON(src []byte) error {
	shadow := pointJSON{(*plainPoint)(p), seconds(p.Time)}
	if err := tooling.Decode(src, "", &shadow); err != nil {
		return err
	}
	p.Time = time.Duration(shadow.Time)
	return nil
}

// MarshalJSON writes the time in seconds under "seconds".
func (t Trade) MarshalJSON() ([]byte, error) {
	return json.Marshal(tradeJSON{(*plainTrade)(&t), seconds(t.Time)})
}

// UnmarshalJSON is the inverse of MarshalJSON.
func (t *Trade) UnmarshalJSON(src []byte) error {
	shadow := tradeJSON{(*plainTrade)(t), seconds(t.Time)}
	if err := tooling.Decode(src, "", &shadow); err != nil {
		return err
	}
	t.Time = time.Duration(shadow.Time)
	return nil
}
