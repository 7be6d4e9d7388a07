// Package nc reads and writes IPC-NC-349 drill and rout programs: text to
// blocks to operations and back. It knows no holes and no boards.
package nc
