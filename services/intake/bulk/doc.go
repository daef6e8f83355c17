// Package bulk lets records of one kind be edited in a spreadsheet: they go out as a CSV file, come back edited, and what is
// different is shown cell by cell before it is taken. Only what was changed in the file is changed on record: a column that the
// file lacks, a row that is missing, and what has no column stay as they are.
package bulk
