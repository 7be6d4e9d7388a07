// Package report turns a planned job into what people look at: the job sheet
// and the picture of the panel. Only the examples use it.
package report
