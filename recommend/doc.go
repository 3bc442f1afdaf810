// Package recommend goes from a job, a machine and past welds to settings.
//
// [Suggest] is the one road: the safety gate (package caution), the table start
// (data), the arithmetic (arc, joint, steel, source), the welder's own welds, the
// limits of wire and machine, and the reasons, in that order. It is pure: it
// reads no file and no clock, and the same request and history give the same
// answer.
//
// A number never travels alone: each comes with its range, its unit, its source
// and how many own welds stand behind it. Outside its tables the package says
// so and gives none.
package recommend
