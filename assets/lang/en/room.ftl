# The Progress room.

horse = Horse
horse-none = No horse
horse-all = All horses
horse-unnamed = this horse

# Which days, on buttons.
period-28-days = Last 28 days
period-28-days-to = 28 days to { $day }
period-this-month = { $month } to date
period-month = { $month } { $year }
period-three-months = Last three months
period-everything = Everything
period-days = From, to…
month-before = The month before
month-after = The month after
# And after "Show", where nothing is in the days chosen.
show-period = Show { $period }
first-day = First day
last-day = Last day
day-hint = { $day }; empty for any
day-example = 2026-03-01
period-label = Days
day-unread = “{ $text }” is not a day. Write it like 2026-03-01.
days-turned = The period ends before it begins. Exchange the two days.


# What the days are compared with, in a list.
compare = Compare with
against-nothing = nothing
against-last-month = all of { $month }
against-days-before = { $days ->
    [one] the day before
   *[other] the { $days } days before
}
against-three-months = the three months before
against-before = before a day…
against-as-many = as many days before
against-typed = other days…
against-reins = the other rein
against-day = The day between
other-first-day = First of the other days
other-last-day = Last of the other days
against-first = The first day of the later part; the day before it is the last of the earlier

# Shown in the place of a month that nobody chose.
instead = { $month } has { $rides ->
    [0] no ride
    [one] only 1 ride
   *[other] only { $rides } rides
} to compare yet; that takes { $least }. These are the 28 days up to { $latest }.
# Of several horses: $horses are in work, $enough of them have enough rides.
instead-horses = In { $month } { $enough ->
    [0] none of { $horses } horses in work has
    [one] only 1 of { $horses } horses in work has
   *[other] only { $enough } of { $horses } horses in work have
} the { $least } rides yet that a comparison takes. These are the 28 days up to { $latest }, the same for all of them.

# Which attempts, and what of them; in lists.
reins-label = Reins
reins-both = Both reins
reins-only-left = Left rein only
reins-only-right = Right rein only

measure-label = Counted
measure-attempts = Faulty attempts
measure-attempts-tip = How many of the attempts were faulty
measure-faults = Faults a minute
measure-faults-tip = How many faults were marked, over the time ridden. Their ranges take faults to come singly, so they are too narrow where faults cluster.

order-name = By name
order-name-tip = From A to Z
order-first = What to work on first
order-first-tip = First what is clearly more faulty than before, or clearly one-sided. Then by faulty attempts to expect in a ride: how often it goes wrong times how often it is ridden, rarely ridden exercises pulled towards the horse's usual rate. Below 6 attempts last.
counting = Counting
counting-failed = This could not be worked out. Nothing is lost; the program's log says why. Choose other days, or open the yard again.
summary = { $rides }, { $days }
summary-tip = Only exercises set to reviewed are in a rate; closing one while marking does that.

column-exercise = Exercise
column-reins = Faulty, rein by rein
column-trend = Faulty, ride by ride
column-reins-faults = Faults a minute, rein by rein
column-trend-faults = Faults, ride by ride
side-all = all
side-left = L
side-right = R
side-none = no rein
side-left-full = Left rein
side-right-full = Right rein

# All exercises in one breath, over the list; names follow the heads.
digest-worse = Worse:
digest-one-sided = One-sided:
digest-one-sided-attempts = One-sided in faulty attempts:
digest-better = Better:
digest-too-few = Too few to tell:
digest-quiet = Nothing is clearly better, worse or one-sided.
digest-quiet-reins = Nothing is clearly one-sided.
digest-more = and { $more } more
weaker-left = { $exercise } (worse on the left)
weaker-right = { $exercise } (worse on the right)

empty-no-horse = No horse yet
empty-no-horse-next = Numbers begin with a horse and the film of a ride. Add the horse in the Yard.
to-the-yard = To the Yard
empty-days = Which days?
this-horse = this horse
the-horses = the horses
empty-no-ride = No ride of { $horse } yet
empty-no-ride-next = Choose the film of a ride, then mark its exercises while it plays.
new-ride = New ride from film…
empty-nothing-counts = No exercise of { $horse } counts in these days
empty-nothing-counts-next = Mark the exercises of a ride; one that is closed counts by itself.
open-newest = Open the newest ride
empty-not-in-days = No ride of { $horse } in these days
newest-ride = The newest ride is of { $day }.

close-line = Close this exercise
heading-periods = Two periods
heading-rides = Ride by ride
plot-key = A dot is a ride: its height the share of faulty attempts, its size how many attempts. An upright line is its range, from 6 attempts on.
plot-spoken = Share of faulty attempts in { $rides } of { $exercise }. Its table says the same in words.
ride-in-words = { $day }: { $faulty } of { $attempts } { $attempts ->
    [one] attempt
   *[other] attempts
} faulty, { $faults ->
    [one] { $faults } fault
   *[other] { $faults } faults
}
table-day = Day
table-attempts = Attempts
table-faulty = Faulty
table-faults = Faults
opens-ride = Opens this ride
heading-faults = Faults
no-faults = None was marked.
fault-times = { $fault }: marked { $times ->
    [one] { $times } time
   *[other] { $times } times
}
heading-moments = The moments
no-faults-to-see = No fault to look at.
no-moments = No attempt to look at in these days.
moment-of = { $horse }: { $moment }
moment-clean = clean
moment-praised = clean, praised
moments-tip = Point at a picture and its seconds play; a press opens it in Review, from 2 seconds before. { $play } (play) and { $mark } (mark) mean the one pointed at, or reached with Tab, last.
no-key = no key
key-space = Space
all-moments = Show all { $moments } moments
newest-moments = Show the newest { $moments } of { $all } moments
moments-capped = These are the newest { $moments } of { $all } moments. Choose fewer days to see the older ones.
moment-playing = playing
moment-film-missing = Film not found
moment-film-another = Another film lies there
moment-film-unreadable = The film cannot be shown
moment-not-filmed = Not on film
moment-look-for-film = Open the ride to look for it
moment-see-why = Open the ride to see why
moment-mark = Mark { $when } for side by side
moment-unmark = { $when }: no longer marked
moments-most = { $most } are marked, and no more fit side by side. Take a mark away first.
heading-moments-before = The moments before: { $days }
moment-before = before: { $when }
before-too = also { $earlier } ({ $moments })
no-moments-so = No moment of this choice.
only-fault = { $fault } { $times }
only-left = left rein
only-right = right rein
clean-too = { $attempts ->
    [one] { $attempts } clean attempt too
   *[other] { $attempts } clean attempts too
}
moments-unfilmed = And { $moments } that no film shows:
# Moments side by side.
beside-these = Side by side ({ $moments })
beside-these-tip = Plays the marked moments together, each from before its mark ({ $key })
beside-two = Mark two to four to see them together.
beside-one-more = Mark one more to see them side by side.
beside-none = Mark none
beside-heading = { $exercise }: side by side
beside-back = Back to the list
beside-opening = Opening the film…
beside-mirrored = mirrored
beside-later = The film begins later
beside-over = The film is over
beside-open = Open in Review
beside-open-this = Open in Review: { $moment }
beside-play = Play
beside-pause = Pause
beside-step-back = One frame back
beside-step-on = One frame on
beside-at-marks = At the marks
beside-time = { $seconds } s
beside-slower = Slower
beside-faster = Faster
beside-speed = { $speed }×
beside-repeat = Again and again
beside-mirror = Mirror the other rein
beside-mirror-all = Mirror all but the first
beside-before = Before the mark
beside-after = After it
beside-seconds = { $seconds } s
no-film = This ride has no film.
left = left
right = right
heading-reins = Left and right
heading-variants = Variants
variant-rate = { $variant }: { $rate }
variant-not-noted = not noted
heading-after = After a mistake
how-heading = How this was found

# All horses at a glance.
page-horses = Horses
order-need = What needs looking at
order-need-tip = Our own choice: first horses with a caution about their load or outline, then those with most exercises that became worse, then most one-sided ones, then by faulty attempts to expect in a ride.
column-first = What to work on first
column-changed = Better, worse, one-sided
column-weeks = Ridden, week by week
horses-row = { $horse }. { $row }
# Over the rows: $horses of them are not of the month that nobody chose.
horses-instead = { $horses ->
    [one] 1 horse has fewer than the { $least } rides in { $month } that a comparison takes: its row is of the 28 days up to its newest ride.
   *[other] { $horses } horses have fewer than the { $least } rides in { $month } that a comparison takes: their rows are of the 28 days up to their newest ride.
}
horses-age = { $age ->
    [one] 1 year
   *[other] { $age } years
}
horses-age-young = { $age ->
    [one] 1 year
   *[other] { $age } years
}, still growing
horses-no-age = age not given
horses-ridden = { $rides }, { $length }
horses-no-ride = no ride in these days
horses-no-ride-newest = no ride in these days, the newest on { $day }
horses-no-ride-ever = no ride yet
horses-nothing-faulty = nothing faulty in these days
horses-nothing-counts = no exercise counts in these days
horses-first = What to work on first: { $exercise }. { $sentence }
horses-better = { $count } better: { $exercises }
horses-worse = { $count } worse: { $exercises }
horses-no-change = none clearly better or worse, of { $count }
horses-too-few = too few to tell what became better
horses-not-compared = not compared with other days
horses-one-sided = one-sided: { $exercises }
horses-worse-left = { $exercise } (worse left)
horses-worse-right = { $exercise } (worse right)
horses-counting = Being counted
horses-opens = Opens this horse in the days of its row
horses-weeks-spoken = Ridden this week: { $now }; the week before: { $before }
horses-week-nothing = nothing
# Cautions in short; the whole sentences are a step deeper.
horses-much-more = much more in seven days than usual
horses-no-day-off = ridden for { $days } days in a row
horses-long-ride = a ride of more than an hour outside the walk
horses-perhaps-long-ride = a ride of perhaps more than an hour outside the walk
horses-held-early = { $rides ->
    [one] 1 ride
   *[other] { $rides } rides
} of { $timed } with an outline held longer than 8 minutes without a stretch
horses-held-full = { $rides ->
    [one] 1 ride
   *[other] { $rides } rides
} of { $timed } with an outline held about ten minutes or more without a stretch

# Figures: what stands in them and over the columns of their tables.
across-title = { $exercise }, ride by ride
faults-title = { $exercise }: faults
reins-title = { $exercise }: left and right
variants-title = { $exercise }: variants
after-title = { $exercise }: after a mistake
axis-faulty = Share of attempts with a fault
layer-trend = Trend with its range
layer-ranges = Range
layer-rides = Rides
layer-months = Months
layer-faulty = Faulty attempts
layer-shows = Tests and shows
layer-notes = Notes
event-show = test or show
event-said = { $day }: { $what }
table-share = Share
table-range = Range
table-trend = Trend
table-happened = What happened
table-from-to = { $low } to { $high }
table-fitted = { $share } ({ $range })
table-fault = Fault
table-times = Times
table-which = Which
after-bar-mistake = after a mistake
after-bar-clean = after a clean one
after-bar-repeat = repeated at once

# The buttons of a figure.
figure-as-table = { $figure } as a table
figure-whole = { $figure }: show the whole again
figure-menu = { $figure }: copy or save
figure-copy-picture = Copy picture
figure-save-png = Save picture (PNG)…
figure-save-svg = Save picture (SVG)…
figure-copy-table = Copy table
figure-save-csv = Save table (CSV)…
figure-title-picture = Where to save the picture
figure-title-table = Where to save the table
figure-written = Written: { $file }
figure-not-written = { $file } could not be written: { $why }
figure-not-written-next = Choose another place for it
figure-copied-picture = Picture copied
figure-copied-table = Table copied
figure-not-copied = Nothing was copied: { $why }
figure-too-large = the picture is too large
figure-not-drawn = the picture could not be drawn
