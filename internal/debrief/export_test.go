package debrief

// Learned are the lessons of figures made up by a test.
func (f *Flight) Learned() []Lesson { return lessons(f) }

// Trends are those of rows made up by a test.
func Trends(rows []Row) []Trend { return trends(rows) }
