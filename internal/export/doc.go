// Package export writes plans and journals for other programs: GPX 1.1, GeoJSON, KML 2.2 and CSV.
package export
