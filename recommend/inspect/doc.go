// Package inspect asks of a bead, and of a coupon that was broken, what a beginner
// can answer with yes or no, and holds the answers against the criteria of AWS D1.1
// as the tables of package data have them.
//
// [TestFor] is a destructive test of a coupon: bend, break, etch or peel. Its
// questions come in an order in which the first one that decides ends it. [LookAt]
// is a look at a bead with the eye alone. A look finds faults; it never proves
// anything, whatever it finds. A test speaks of its coupon and of nothing else.
package inspect
