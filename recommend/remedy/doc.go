// Package remedy is the bench coach: from what a welder saw, heard or felt to
// the causes in the order in which to look, and to one next step. It is pure: no
// clock, no file, no notebook.
//
//	Troubles                dangers and questions of the bench, before any bead
//	Causes                  what may lie behind symptoms, settings last
//	Advise                  one next step from symptoms, the last weld and the history
//	Changes                 what is different between two welds
//	Compare                 what may be concluded from the last two: nothing, one thing, or a mix-up
//	Count                   how many changes of the past were clean, how many confounded
//	Questions               the three that tell most, where nothing was said
//
// Where the step is a setting it is the one that [recommend.Suggest] gives for the
// same job once the symptoms are written down: the coach and the recommender never
// say two things.
package remedy
