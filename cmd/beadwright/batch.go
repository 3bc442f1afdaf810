package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"beadwright/procedures"
	"beadwright/recommend/learn"
)

// largestBatch is the most that is read of a batch file, in bytes.
const largestBatch = 256 << 20

// batch answers the questions of a JSON file, so that anyone can examine the
// recommender without a notebook.
func (a *app) batch(path string) error {
	hints := []string{"one object with machines, welds and queries; DEVELOPERS.md describes it"}
	f, err := os.Open(path)
	if err != nil {
		return cannotRead("batch", path, err, hints...)
	}
	defer f.Close()
	dec := json.NewDecoder(io.LimitReader(f, largestBatch))
	dec.DisallowUnknownFields()
	var b learn.Batch
	if err := dec.Decode(&b); err != nil {
		return procedures.Invalid("batch", path, "not a batch: "+err.Error(), hints...)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return procedures.Invalid("batch", path, "something follows the object", hints...)
	}
	units := learn.US()
	if a.unitsFlag == string(procedures.Metric) {
		units = learn.Metric()
	}
	answers, err := b.Answers(units)
	var bad *learn.InputError
	if errors.As(err, &bad) {
		return procedures.Invalid("batch", bad.Got, fmt.Sprintf("%s, %s cannot be", bad.Record, bad.Field), "accepted: "+bad.Want)
	}
	if err != nil {
		return err
	}
	enc := json.NewEncoder(a.out) // numbers in full: answers are compared to 1e-9
	return enc.Encode(map[string][]learn.Answer{"answers": answers})
}

// underlying is the system's word for a failure, without the path again.
func underlying(err error) string {
	var pe *os.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}
