// Package stack plans a lot: how high a stack to pin in each set-up, in how
// many loads, with how many tools, and what it costs.
package stack
