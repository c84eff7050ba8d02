# The whole horse: everything but fault rates.

page-exercises = Exercises
page-whole = The whole horse
whole-one-horse = One horse at a time: choose a horse above.
whole-counting = Looking at the rides
whole-no-rides = No ride in these days.
whole-show-all = Show all { $count }
whole-open = Opens { $day } in Review
percent = { $percent } %
percent-tiny = under 1 %

# “in 8 rides”
rides-in = { $rides ->
    [one] { $rides } ride
   *[other] { $rides } rides
}

pace-walk = walk
pace-trot = trot
pace-canter = canter
pace-passage = passage
pace-piaffe = piaffe
pace-halt = halt
pace-rein-back = rein-back
going-walk = { $variant ->
    [medium] medium walk
    [free] free walk
    [extended] extended walk
    [collected] collected walk
   *[other] walk, { $variant }
}
going-trot = { $variant ->
    [working] working trot
    [collected] collected trot
    [medium] medium trot
    [extended] extended trot
   *[other] trot, { $variant }
}
going-canter = { $variant ->
    [working] working canter
    [collected] collected canter
    [medium] medium canter
    [extended] extended canter
   *[other] canter, { $variant }
}
going = { $pace }, { $variant }

# Outlines.
outline-heading = Outline
outline-none = No outline is marked in these days. Mark outlines in Review, and their shares and the timer stand here.
outline-not-held = no outline was held
outline-quiet = longest held { $length }
outline-early = held { $length } without a stretch: longer than 8 minutes, an early notice of our own
outline-full = held { $length } without a stretch or release: about ten minutes or more
outline-paused = { $held }; not known for { $length } of it, so perhaps longer
outline-changes = { $changes ->
    [one] { $changes } change
   *[other] { $changes } changes
} of outline, { $often } in ten minutes
outline-changes-few = less than a minute is known: too little for changes in ten minutes
outline-timed = { $outlined } of { $rides } have outlines marked.
outline-caution = After FEI guidance to stewards of 2010 for the warm-up, which may have been superseded: check the current rules. A reminder, never a verdict. Long and low counts as a stretch, although the guidance pictures it too among positions not to be kept for long. A horse that cannot stretch, or fights the hand, may be in pain: see a vet.
outline-no-ride = The ride has no length, so there is nothing to time. Place its film or mark its end.
outline-rules = The timer's times contradict each other.
outline-held-and-released = One outline is marked both as held and as released.
outline-figure = Outline, ride by ride
outline-figure-spoken = Shares of the known time in each outline, in { $rides }. The timer noticed { $early } after 8 minutes and { $full } after about ten. The table says the same in words.
outline-box = { $when }: { $name } { $percent }, { $length }
outline-early-sign = longer than 8 minutes
outline-full-sign = about ten minutes or more
outline-noticed = { $when }: { $timer }
outline-none-noticed = no ride beyond 8 minutes
outline-dark = Not known
outline-timer = Held without a stretch
outline-column-changes = Changes of outline

# Series of changes.
series-heading = Series of changes
series-none = No reviewed series of changes in these days.
series-unreviewed = { $count ->
    [one] { $count } series is not reviewed and not shown.
   *[other] { $count } series are not reviewed and not shown.
}
series-bare = { $count ->
    [one] One series has
   *[other] { $count } series have
} fewer than two changes marked. Mark changes in Review, set to their frames, and the strides between them are counted here.
series-row = { $day }. { $exercise }, { $asked }. { $found }
series-asked = asked { $count }, { $every ->
    [one] every stride
    [2] every second stride
    [3] every third stride
   *[other] every { $every }th stride
}
series-asked-every = asked { $every ->
    [one] every stride
    [2] every second stride
    [3] every third stride
   *[other] every { $every }th stride
}
series-asked-count = asked { $count }, strides not noted
series-asked-nothing = nothing asked was noted
series-not-asked = Count not verified: nobody noted every how many strides was asked. Give the exercise its numbers.
series-few-changes = Count not verified: fewer than two changes are marked.
series-not-refined = Count not verified: some marks are not set to the exact frame. Refine them.
series-no-stride = Count not verified: there is no stride time. Tap the canter strides of this ride.
series-other = Ridden { $ridden ->
    [one] every stride
    [2] every second stride
    [3] every third stride
   *[other] every { $ridden }th stride
} where { $every ->
    [one] every stride
    [2] every second stride
    [3] every third stride
   *[other] every { $every }th stride
} was asked, throughout.
series-none-sure = Two numbers of strides are possible in every interval, so none is counted.
series-held = { $sure ->
    [one] The one interval that is sure kept its count.
   *[other] All { $sure } intervals that are sure kept their count: { $every ->
        [one] every stride
        [2] every second stride
        [3] every third stride
       *[other] every { $every }th stride
    }.
}
series-wrong = { $wrong } of { $sure ->
    [one] { $sure } interval
   *[other] { $sure } intervals
} wrong ({ $kinds }); { $run ->
    [0] no two changes in a row kept the count
    [one] no two changes in a row kept the count
   *[other] at most { $run } changes in a row kept the count
}.
series-early = { $times } early
series-late = { $times } late
series-missed = { $times ->
    [one] { $times } change missed
   *[other] { $times } changes missed
}
series-extra = { $times ->
    [one] { $times } change too many
   *[other] { $times } changes too many
}
series-unsure = { $unsure ->
    [one] In one interval two numbers of strides are possible: it is in no count.
   *[other] In { $unsure } intervals two numbers of strides are possible: they are in no count.
}
series-surplus = { $shown } changes shown, { $asked } asked.
series-stride = Stride time { $seconds } s, from { $source }.
stride-film = the tempo of the film
stride-taps = taps in this ride
stride-earlier = an earlier canter of this horse
series-even = The times between the changes scatter by { $spread } ({ $low } to { $high }); frames alone would show about { $frames }.
series-even-few = Too few changes for evenness: it takes at least four.
series-uneven = The changes are too uneven for a figure. Look at the intervals one by one.
series-lead = Changes { $side }: { $tally } wrong.
series-to-left = to the left
series-to-right = to the right
series-same-lead = { $times ->
    [one] Once the same lead is marked twice in a row
   *[other] { $times } times the same lead is marked twice in a row
}: a change between is missing, or a lead is wrong.
series-no-feet = Clean or late behind is not measured: landings are not marked. The fault “late behind” is your own mark.
interval-unsure = { $fewest } or { $most }
interval-early = { $strides } early
interval-late = { $strides } late
interval-missed = { $strides } missed
interval-extra = { $strides } too many
series-impossible-asked = These numbers cannot be ridden: ask for 2 to 200 changes, one every 1 to 20 strides. Check the exercise.
series-impossible-stride = No horse canters with this stride time. Tap the canter again.
series-impossible-frame = The film's frame length is not known, so a moment in it is not exact.
series-marked-twice = Two changes are marked at almost the same moment. Remove one of the two.

# Tempo.
tempo-heading = Tempo
tempo-none = No tempo is known in these days. Tap the strides of a stretch along in Review.
tempo-pace = { $pace }: { $median } { $unit }
tempo-pace-rides = { $pace }: { $median } { $unit }, the median of { $rides }
tempo-unit = strides a minute
tempo-unit-canter = strides a minute
tempo-steps = counted by steps: { $steps }
tempo-lapses = { $lapses ->
    [0] no lapse
    [one] one lapse
   *[other] { $lapses } lapses
} on straight lines
tempo-no-line = no line is known to be straight, so no lapse is claimed
tempo-published = published { $low } to { $high }, for orientation only
tempo-point = { $day }: { $pace }, { $median } { $unit } over { $strides } strides
tempo-month = { $month }: { $pace }, { $median } { $unit }, the median of { $rides }
tempo-caution = A rhythm that becomes irregular without a reason in the training is a matter for a vet.
tempo-figure = Tempo, ride by ride and month by month
tempo-figure-spoken = The tempo of each ride in each pace as a sign, full where the lines were straight, and the medians of the months as a line with larger signs. The table says the same in words.
tempo-axis = Strides a minute
tempo-column-pace = Pace
tempo-column-when = When
tempo-column-strides = Strides
around = { $head } tempo was quicker { $quicker ->
    [0] never
    [one] once
   *[other] { $quicker } times
}, slower { $slower ->
    [0] never
    [one] once
   *[other] { $slower } times
} (by more than 4 %); { $events ->
    [one] here
   *[other] typically
} { $typical }.
around-none = { $head } tempo is not known: nowhere are three strides in a row tapped on both sides.
around-changes = { $events ->
    [one] After one flying change the
   *[other] After { $events } flying changes the
}
around-corners = { $events ->
    [one] After one corner the
   *[other] After { $events } corners the
}
around-within = { $events ->
    [one] After one transition within a pace the
   *[other] After { $events } transitions within a pace the
}
around-by-quicker = { $percent } % quicker
around-by-slower = { $percent } % slower
around-left-out = { $events } left out: no three strides in a row on both sides.
tempo-before = before
tempo-in = in it
tempo-after = after
tempo-about-title = { $exercise }: tempo before, in and after
tempo-about-said = { $day }: { $before } before, { $within } in it, { $after } after
tempo-about-median = { $attempts ->
    [one] One attempt
   *[other] Median of { $attempts } attempts
}
layer-attempts = Attempts
layer-middle = Median
layer-middle-of = Median, { $kind }
about-kind = { $kind }: { $said }
about-sides = { $events ->
    [one] In one attempt
   *[other] { $events } attempts, the median and from least to most:
} { $before } { $unit } before, { $after } after.
about-within = In it { $within }.
about-within-some = In it { $within }, known in { $known } of { $events }.
about-middle = { $middle } ({ $low } to { $high })
about-none = No tempo is known around this exercise in these days. It takes three strides tapped before and three after it.
tap-tempo = Tap the tempo of the newest ride with a film…
tap-no-film-about = No film shows it in these days, so there is nothing to tap along with. Add the film of a ride in Review.
tap-no-film = None of these rides has a film to tap along with. Add the film of a ride in Review.

# Transitions.
steps-heading = Transitions
steps-none = No pace is noted in these days. Note the paces in Review.
steps-known = { $length } in a known pace, in { $rides }.
steps-between = { $count } between paces: { $often }.
steps-within = { $count } within a pace: { $often }.
steps-often = { $value } a minute ({ $low } to { $high })
steps-left-out = { $count } more cannot be told: a variant is not named, or the pace is not known in between.
steps-aids = The horse answered { $answered } of { $aids ->
    [one] { $aids } aid
   *[other] { $aids } aids
} within 5 seconds.
steps-answers = From aid to answer { $middle } s (the median), half of them between { $low } and { $high } s.
steps-kind = { $from } to { $to }
steps-kinds = Transitions by kind
steps-figure = Transitions a minute, ride by ride
steps-figure-spoken = Transitions a minute between paces and within a pace, in { $rides }, each with its range. The table says the same in words.
steps-axis = A minute
steps-kind-between = between paces
steps-kind-within = within a pace
steps-column-known = In a known pace
steps-dot = { $when }: { $name } { $count } in { $length }, { $rate }

# Load.
load-heading = Load
load-caution = Minutes say nothing of effort, and work without film is not in them. No published limit exists: these are reminders, not verdicts. A horse that feels different after more work should be looked at.
load-week = Last seven days: { $length } in { $rides }.
load-usual = A usual week is { $length }; the last seven days are { $percent } of it.
load-no-rides = No ride up to today yet.
load-short = The record is shorter than five weeks, so a usual week is not known yet.
load-nothing-before = No ride in the four weeks before, so there is nothing to compare with.
load-no-rest = No day without a ride since the record begins.
load-rest-today = { $row ->
    [0] No ride today; the last one was { $days } days ago.
    [one] No ride today; ridden yesterday.
   *[other] No ride today; ridden on the { $row } days before.
}
load-rest = { $days ->
    [one] The last day without a ride was yesterday.
   *[other] The last day without a ride was { $days } days ago.
}
load-age = { $age ->
    [one] One year old.
   *[other] { $age } years old.
}
load-no-age = The year of birth is missing or lies ahead. Correct it in the Yard.
load-no-competitions = Competitions cannot be entered yet, so days to the next one are not told.
load-ahead = { $rides ->
    [one] One ride is dated after today and in no sum.
   *[other] { $rides } rides are dated after today and in no sum.
}
load-lengthless = { $rides ->
    [one] One ride has no length: it counts as a ride without time.
   *[other] { $rides } rides have no length: they count as rides without time.
}
load-much-more = Much more in the last seven days than in a usual week. Work that grows slowly is easier on the horse.
load-no-day-off = Ridden for { $days } days in a row. A day off, or out in the field, may do good.
load-long-ride = A ride with more than an hour outside the walk. At shows the FEI allows a session of an hour, walking not counted (as quoted in 2018; check the current rules).
load-young = A horse of { $age } is still growing. Short rides and days off matter more than progress.
load-reins = In exercises with a rein: left { $left }, right { $right }.
load-no-pace = no pace noted
load-exercise = { $exercise }: { $length }
load-in-days = Ridden in these days: { $length } in { $rides }.
load-paces = Time ridden by pace
load-figure = Ridden, week by week
load-figure-spoken = Minutes ridden in each pace in the last { $weeks ->
    [one] week
   *[other] { $weeks } weeks
}. The table says the same in words.
load-axis = Minutes
load-usual-line = usual week
load-box = Week of { $day }: { $pace } { $length }, of { $all } in { $rides }
load-column-week = Week of
load-column-rides = Rides
load-column-all = Ridden

# Places.
place-heading = Where faults happen
place-none = No fault in these days.
place-count = { $arena }, { $rides }: { $placed ->
    [one] one fault has a place.
   *[other] { $placed } faults have a place.
}
place-unplaced = { $faults ->
    [one] One fault has none: click it on the plan in Review.
   *[other] { $faults } faults have none: click them on the plan in Review.
}
place-outside = { $faults ->
    [one] One lies outside this arena: check its size.
   *[other] { $faults } lie outside this arena: check its size.
}
place-letter = { $letter }: { $times ->
    [one] once
   *[other] { $times } times
}
place-caution = Counts, not rates: how often the horse passed a place is not known, and corners are passed more often than X.
place-moment = { $day } { $time } { $fault }
arena-standard = 20 × 60 m
arena-small = 20 × 40 m

# What stands in the way of right numbers.
look-heading = To look at
look-ahead = Dated after today: it counts in no load. Correct its day.
look-before-birth = Dated before the horse was born. Correct the day, or the year of birth.
look-far-apart = More than twelve hours from the first entry to the last: a clock was changed, perhaps. Its length is in no sum.
look-no-length = An exercise has no length: it counts as an attempt, but in no rate per minute. Give it an end.
look-overlap = Two attempts at one exercise overlap: perhaps one was marked twice. The time they share counts once.
look-loose-faults = { $faults ->
    [one] One fault lies in no exercise and so is in no rate.
   *[other] { $faults } faults lie in no exercise and so are in no rate.
}
look-loose-changes = { $changes ->
    [one] One flying change lies in no exercise and so is in no series.
   *[other] { $changes } flying changes lie in no exercise and so are in no series.
}
look-two-paces = Two paces are marked at once for { $length }: taken as not known.
look-two-outlines = Two outlines are marked at once for { $length }: taken as not known.
look-same-film = Its film is in an earlier ride too: one ride, perhaps, that counts twice.
look-one-ride = One ride only in these days: nothing can be compared yet.
look-no-time = { $exercise }: its attempts have no length, so there are no faults per minute.
look-all-faulty = { $exercise }: all { $attempts } attempts had a fault. Perhaps it is asked too early; and a better rate than this cannot be ruled out.
look-none-faulty = { $exercise }: none of { $attempts } attempts had a fault. Faults may still be more common than none.
look-row = { $where }: { $what }

# What was borrowed, and what is not known.
series-stride-day = That earlier canter was tapped on { $day }.
load-perhaps-long-ride = A ride with perhaps more than an hour outside the walk: the paces are not noted for all of it.
arena-not-given = Arena size not given, drawn as 20 × 60 m

# A series and a plan as figures.
series-title = { $day }: { $exercise }, { $asked }
layer-asked = Asked
layer-changes = Changes
layer-same-lead = Same lead twice
table-change = Change
table-seconds = Seconds
table-strides = Strides before
table-asked = Asked at second
axis-seconds = Seconds after the first change
change-said = change { $change }
change-after = change { $change }: { $strides }
layer-squares = Squares of 5 metres
layer-clicks = Places
layer-letters = Counts by letter
table-counted = What is counted
table-place = Where
place-at = { $along } m from the short side with A, { $across } m from the long side with K
square-said = { $times ->
    [one] { $times } fault
   *[other] { $times } faults
} in this square
place-title = { $exercise }: { $arena }
