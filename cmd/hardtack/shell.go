package main

import (
	"context"
	"io"
)

// shell is what a command has of the world.
type shell struct {
	ctx    context.Context
	getenv func(string) string
	in     io.Reader
	out    io.Writer
	err    io.Writer
	json   bool
	db     string
}
