package learn

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
)

const batchText = `{
 "machines": [{"id":"m","calibrated":false,"taps":["low","high"],"states":[{"id":"a","kind":"original"},{"id":"b","kind":"feed"}]}],
 "welds": [
  {"id":"1","time":"2026-03-01T10:00:00Z","user":"u","machine":"m","state":"a","spool":"s","session":"x","thickness_in":0.125,"joint":"tee",
   "position":"flat","wire_diameter_in":0.03,"tap":"high","table_wire_speed":5,"wire_speed":5.5,"rating":5,"heat":0,"balance":0}],
 "queries": [
  {"user":"u","machine":"m","state":"b","spool":"s","thickness_in":0.125,"joint":"tee","position":"flat","wire_diameter_in":0.03,"tap":"high",
   "table_wire_speed":5,"live":[]},
  {"user":"u","machine":"m","state":"b","spool":"s","thickness_in":0.125,"joint":"tee","position":"flat","wire_diameter_in":0.03,"tap":"high",
   "table_wire_speed":0}]}`

func TestBatch(t *testing.T) {
	var b Batch
	if err := json.Unmarshal([]byte(batchText), &b); err != nil {
		t.Fatal(err)
	}
	got, err := b.Answers(US())
	if err != nil || len(got) != 2 {
		t.Fatalf("%v %v", got, err)
	}
	if a := got[0]; !(a.F > 0 && a.WireSpeed > 5 && a.Low < a.WireSpeed && a.WireSpeed < a.High && a.Tap == "high" && len(a.Because) > 0 && a.Error == "") {
		t.Errorf("%+v", a)
	}
	if a := got[1]; a.Error != ErrNoTable.Error() {
		t.Errorf("%+v", a)
	}
	text, err := json.Marshal(got[0])
	if err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"f", "sd", "wire_speed", "low", "high", "tap", "because"} {
		if !strings.Contains(string(text), `"`+key+`":`) {
			t.Errorf("no %s in %s", key, text)
		}
	}
}

// Whatever the JSON, there is an answer or an error, never a panic, and no answer outside 60 to 165 % of its table.
func FuzzBatch(f *testing.F) {
	f.Add(batchText)
	f.Add(strings.Replace(batchText, `"live":[]`, `"live":[{"id":"1","machine":"m","state":"a","tap":"high","thickness_in":0.125,"joint":"tee",`+
		`"position":"flat","wire_diameter_in":0.03,"wire_speed":4,"table_wire_speed":5,"rating":1,"heat":1}]`, 1))
	f.Add(`{"machines":[{"id":"m"}],"queries":[{"machine":"m","thickness_in":0.1,"wire_diameter_in":0.035,"table_wire_speed":3}]}`)
	f.Fuzz(func(t *testing.T, text string) {
		var b Batch
		if json.Unmarshal([]byte(text), &b) != nil {
			return
		}
		answers, err := b.Answers(Metric())
		if err != nil {
			var in *InputError
			if !errors.As(err, &in) {
				t.Fatalf("error of another kind: %v", err)
			}
			return
		}
		for i, a := range answers {
			table := b.Queries[i].TableWireSpeed
			if a.Error != "" {
				continue
			}
			for _, o := range b.Queries[i].OtherTaps {
				if o.Tap == a.Tap && o.Tap != b.Queries[i].Tap {
					table = o.TableWireSpeed
				}
			}
			if !(a.WireSpeed >= minRatio*table && a.WireSpeed <= maxRatio*table && a.SD > 0) {
				t.Fatalf("%+v for a table value of %g", a, table)
			}
		}
	})
}
