// Package procedures is what a welder writes down, and how it is read: the types of
// the notebook, the words and sizes that people type, and the ranking of a search. It
// knows no file, no SQL, no HTTP and no table of facts; what it needs of the tables,
// gauges and names of steels, comes in a [Lexicon].
//
//	Job, Wire, Settings, Outcome, Weld, Amendment   a weld, how it was made and came out
//	Machine, Tap, Knob, State, Rebuild, Cord, Load  the machine, and what hangs on it
//	Spool, RunOut, Measurement, CutOut, Arc         wire, and what is measured
//	Rerating, FollowUp, Photo                       what is seen of a weld later
//	Procedure, Pass, Range                          a written procedure
//	ReadJob, ReadOutcome, Hear                      words in any order; what is said of trouble
//	ParseLength, ParseWireSpeed, ParseVolts, ...    one quantity; FormatLength and its like say it
//	Filter, Query, Concordance, Rank                a search, and how like it a weld is
//	Way, Typed, Pressed                             a hint, at a terminal and on the page
//
// Every quantity has a type that names its unit ([MM], [MPerMin], [Volts] ...). Zero of
// each means not known, and JSON shows it as null. What was typed is kept beside what
// was understood (Said, ThicknessSaid, KnobSaid).
//
// Every error of a parser or of a Validate method is an [*InvalidError]: what was read,
// what is wrong with it, and in its hints what would be accepted. A bare number is in
// the notebook's [Units], where they are asked for.
package procedures
