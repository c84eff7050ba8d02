# The Progress room as a page to print or to send.

report-export = Export as a page…
report-days = Days asked about: { $days }.
report-against = Compared with { $days }.
report-against-nothing = Compared with nothing.
report-contents = On this page
report-cautions = Before you read
report-horses = The horses
report-numbers = The numbers of this picture
report-overview = Every exercise, what to work on first at the top
report-column-faulty = Faulty attempts
report-column-before = Before
report-column-verdict = Faulty attempts against before
report-column-better = Fewer faulty attempts
report-column-worse = More faulty attempts
report-column-sided = One-sided
report-column-cautions = To think about
report-column-rides = Rides
report-column-fault = Fault
report-column-times = How often
report-column-time = Time in the ride
report-column-note = Note
report-column-timer = Timer
report-column-changes = Changes
report-column-length = Time ridden
report-column-pace = Pace
report-column-share = Share
report-column-transition = Transition
report-steps-kinds = Kinds of transitions, most frequent first
report-verdict-fewer = fewer
report-verdict-more = more
report-verdict-unclear = no clear difference
report-verdict-few = too few to tell
report-moments-newest = These are the newest { $moments } of { $all }. The Progress room has the others, each a click from its film.
report-still-no-film = No film shows this moment.
report-still-gone = The film is not where it was. Open the ride to look for it.
report-still-another = Another film lies where this one was. Open the ride to look for it.
report-still-unreadable = The film cannot be read.
report-still-no-room = Left out, or the page would be too large to send.
report-methods = How these numbers were found
report-methods-more = Under each exercise stands how its own numbers were found. These are the methods, with where they were published.
report-files = The files of the yard
report-files-fine = All of them could be read, and nothing is wrong with them.
report-files-problems = { $problems ->
    [one] One thing is wrong with the files of the yard: numbers may be missing here. It can be seen in full with “reinback check”.
   *[other] { $problems } things are wrong with the files of the yard: numbers may be missing here. They can be seen in full with “reinback check”.
}
report-made = Made by Reinback { $version }, as of { $day }.
