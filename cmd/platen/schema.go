package main

import (
	"github.com/spf13/cobra"

	"platen/features"
	"platen/toolgen/job"
)

func newSchema(s streams) *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "print a JSON Schema of job files for editors",
		Long:  "schema prints a JSON Schema (draft-07) made from the declarations that drive reading.",
		Args:  noArgs,
		RunE: func(*cobra.Command, []string) error {
			data, err := job.Schema(kinds(features.All()), names())
			if err != nil {
				return err
			}
			_, err = s.out.Write(data)
			return err
		},
	}
}
