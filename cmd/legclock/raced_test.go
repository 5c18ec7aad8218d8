//go:build race && unix

package main_test

func init() { raced = true }
