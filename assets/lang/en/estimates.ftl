# What is said about estimates: rates, comparisons, trends.

# "4 of 23 attempts"
attempts = { $faulty } of { $attempts ->
    [one] { $attempts } attempt
   *[other] { $attempts } attempts
}
rate = { $counts }, about { $share } ({ $range })
rate-near = { $counts } ({ $range })
rate-none = { $counts }: none faulty so far ({ $range })
rate-all = { $counts }: every one faulty ({ $range })
rate-unridden = not ridden
rate-few = { $counts }: too few for a rate, which takes 6
rate-why = { $counts }. { $why }

# The range of a share; $low and $high are shares.
range-below = probably fewer than { $high }
range-above = probably more than { $low }
range-tiny = probably fewer than 1 in 200
range-nearly-all = probably more than 199 in 200
range-close = probably close to { $low }
range-between = probably between { $low } and { $high }
range-any = anything from none to all

per-minute = { $value } faults a minute ({ $low } to { $high }) in { $ridden }
per-minute-none = no time ridden: the bouts have no length

# A trend in few words, under its picture.
trend-fewer = fewer faulty attempts lately, more than luck
trend-more = more faulty attempts lately, more than luck
trend-unclear = no clear trend
trend-few-rides = not enough rides yet ({ $rides } of 8)
trend-one-day = no trend: all on one day
# And in full.
trend-fewer-full = Faulty attempts have become fewer, more than luck would explain. { $rides } with this exercise.
trend-more-full = Faulty attempts have become more, beyond what luck would explain. { $rides } with this exercise.
trend-unclear-full = No clear trend: what moves here may be luck. That is not the same as no change. { $rides } with this exercise.
trend-few-rides-full = Not enough rides yet: { $rides } with this exercise; a trend needs at least 8.
rides = { $rides ->
    [one] { $rides } ride
   *[other] { $rides } rides
}

# The reins against each other; $left and $right are counts, $apart says how far apart.
reins-right = Fewer faulty attempts on the right rein: left { $left }, right { $right }. { $apart }
reins-left = Fewer faulty attempts on the left rein: left { $left }, right { $right }. { $apart }
reins-unclear = No clear difference between the reins: left { $left }, right { $right }. { $apart }
reins-few-rides = Too few to tell: left { $left }, right { $right }. At least 4 rides with it on both reins are needed.
reins-few-attempts = Too few to tell: left { $left }, right { $right }. At least 6 attempts on each rein are needed.
reins-few = Too few to tell: left { $left }, right { $right }. { $why }
# The same in a line of the list.
reins-short-right = left { $left }, right { $right }: fewer on the right, and likely more than luck
reins-short-left = left { $left }, right { $right }: fewer on the left, and likely more than luck
reins-short-unclear = left { $left }, right { $right }: no clear difference
reins-short-few = left { $left }, right { $right }: too few to tell
reins-why-few-rides = At least 4 rides with it on both reins are needed.
reins-why-few-attempts = At least 6 attempts on each rein are needed.
reins-apart = No ride has it on both reins, so the reins cannot be compared. Ride it on both, or choose a longer period.
reins-not-noted = No rein is noted for these attempts. While marking, the keys , and . note it.
reins-how = Counted over the rides that have it on both reins.
reins-left-count = left rein { $tally }
reins-right-count = right rein { $tally }
reins-none-count = no rein noted { $tally }
tally = { $faulty } of { $attempts }

# How far two sides are apart; numbers of 100 attempts. "on the right" or "than before".
apart-fewer = Of 100 attempts, probably between { $low } and { $high } fewer are faulty { $sides ->
    [reins] on the right
   *[periods] than before
}.
apart-fewer-up-to = Of 100 attempts, probably up to { $high } fewer are faulty { $sides ->
    [reins] on the right
   *[periods] than before
}.
apart-more = Of 100 attempts, probably between { $low } and { $high } more are faulty { $sides ->
    [reins] on the right
   *[periods] than before
}.
apart-more-up-to = Of 100 attempts, probably up to { $high } more are faulty { $sides ->
    [reins] on the right
   *[periods] than before
}.
apart-either = Of 100 attempts, anything from { $fewer } fewer to { $more } more may be faulty { $sides ->
    [reins] on the right
   *[periods] than before
}.
apart-or-more = Of 100 attempts, { $sides ->
    [reins] as many may be faulty on the right
   *[periods] as many may be faulty as before
}, or up to { $more } more.
apart-or-fewer = Of 100 attempts, { $sides ->
    [reins] as many may be faulty on the right
   *[periods] as many may be faulty as before
}, or up to { $fewer } fewer.

# Two periods. $now is a rate in short, $earlier when ("last month"), $before counts.
now-about = { $counts }, about { $share }
now-few = { $counts }
now-none = { $counts }, none faulty
now-all = { $counts }, every one faulty
periods-fewer = { $now }; { $earlier } { $before }: fewer, and likely more than luck
periods-more = { $now }; { $earlier } { $before }: more, and likely more than luck
periods-unclear = { $now }; { $earlier } { $before }: no clear difference
periods-few = { $now }; { $earlier } { $before }: too few to tell
periods-only-now = { $now }; not ridden { $earlier }
periods-only-before = not ridden now; { $earlier } { $before }
# Where a period has too few rides; only-before lists exercises with their counts.
no-rides-before = No ride { $earlier }: nothing to compare with.
few-rides-now = { $rides }: too few to compare; at least 4 are needed.
few-rides-before = { $rides } { $earlier }: too few to compare; at least 4 are needed.
only-before = Ridden only { $earlier }: { $exercises }
only-before-one = { $exercise } { $tally }
periods-why-few-rides = Both periods need at least 4 rides with this exercise.
periods-why-few-attempts = Both periods need at least 6 attempts.
earlier-last-month = last month
earlier-month = in { $month } { $year }
earlier-days-before = { $days ->
    [one] on the day before
   *[other] in the { $days } days before
}
earlier-others = on the other days ({ $days })
earlier-three-months = in the three months before
earlier-days = before { $day }

# Faults instead of faulty attempts. $rate is faults a minute; $now and $before above are these.
faults-now = { $faults ->
    [one] 1 fault
   *[other] { $faults } faults
}, { $rate } a minute
faults-now-untimed = { $faults ->
    [one] 1 fault
   *[other] { $faults } faults
}
faults-a-minute-short = { $rate } a min
faults-of-reins = left { $left }; right { $right }
# How many times the faults a minute are those of before.
times-as-many = Between { $low } and { $high } times as many a minute as before, taking faults to come singly.
times-as-many-none = No fault before: how many times as many it is cannot be said.
most-faults-ride = { $faults ->
    [0] no fault in any ride
    [one] at most 1 fault in a ride
   *[other] at most { $faults } faults in a ride
}
most-faults-month = { $faults ->
    [0] no fault in any month
    [one] at most 1 fault in a month
   *[other] at most { $faults } faults in a month
}

# Why one of the first three lines is there. $earlier is when ("last month").
first-more = more often faulty than { $earlier }
first-more-attempts = more faulty attempts than { $earlier }
first-left = the left goes wrong more often than the right
first-right = the right goes wrong more often than the left
# $rides are rides with a reviewed attempt; $faulty is what to expect in one of them.
first-most = most faulty attempts: about { $faulty } a reviewed ride, over { $rides }
first-many = about { $faulty } faulty attempts a reviewed ride, over { $rides }

# Why one witness was not enough for a verdict.
reservation-range-alone = The range leaves out zero, but when whole rides are shuffled between the two sides a difference like this comes up too often. A few unlike rides may be behind it.
reservation-many-lines = On its own this line would count as a difference, but among this many lines one such is to be expected by luck.
reservation-shuffles-alone = The rides differ more than shuffled rides usually do, but the range still holds zero. More rides will tell.
# The same in short, behind how far two periods are apart.
reserved-range-alone = { $apart } A few unlike rides may be behind it.
reserved-many-lines = { $apart } Among so many lines this can still be luck.
reserved-shuffles-alone = { $apart } More rides will tell.

# After a mistake.
after-none = No faulty attempts: there was nothing to repeat.
after-again = Ridden again at once after { $faulty } of { $attempts ->
    [one] { $attempts } mistake
   *[other] { $attempts } mistakes
}.
after-repeats = Of { $attempts ->
    [one] this one repeat
   *[other] these { $attempts } repeats
}, { $faulty } went wrong again.
after-next = The next attempt was faulty { $after } times after a mistake, { $clean } times after a clean one.
after-next-mistake = The next attempt was faulty { $after } times after a mistake.
after-next-clean = The next attempt was faulty { $clean } times after a clean one.
after-in-a-row = Mistakes come in a row, more than luck would have it.
after-settles = After a mistake the next attempt tends to be cleaner, more than luck would have it.
after-no-pattern = No clear pattern from one attempt to the next.
after-few = Too few to tell a pattern: at least 6 attempts after a mistake and 6 after a clean one are needed.

# What is in no rate.
left-out = { $exercises ->
    [one] { $exercises } exercise is not in the count
   *[other] { $exercises } exercises are not in the count
}
left-out-faults = { $exercises ->
    [one] { $exercises } exercise is not in the count
   *[other] { $exercises } exercises are not in the count
}, with { $faults ->
    [one] { $faults } fault
   *[other] { $faults } faults
}
loose-faults = { $faults ->
    [one] { $faults } fault outside any exercise
   *[other] { $faults } faults outside any exercise
}

# Why there is no number.
why-no-attempts = No reviewed attempts yet. Set the bouts you have looked at to reviewed.
why-six-attempts = Fewer than 6 attempts: the count alone says more than a percentage. Review more bouts.
why-no-time = No time ridden: the bouts have no length. Give them an end.
why-four-rides = Fewer than 4 rides on one side: too few to tell. Choose a longer period.
why-eight-rides = Not enough rides yet: a trend needs at least 8 with this exercise.
why-one-day = All rides are on one day: a trend needs days apart.
why-no-faults = No faults on one side: a ratio cannot be given. Look at the counts.
why-alike = All attempts are alike: nothing can follow from one to the next.
why-overlap = The two periods share days. Compare with days that end before these begin.
why-no-mistakes = No faulty attempts: there was nothing to repeat.
why-contradictory = These numbers cannot be right. Check the bouts of this exercise.

# How it was found. $method is a method's name, $source where it was published.
how-rate = Faulty attempts: { $value } %, range { $low } to { $high } % at { $level } %: { $method } ({ $source }).
how-likeness = Attempts of one ride resemble each other: these { $attempts } are worth { $worth } independent ones.
how-per-minute = Faults per minute: { $value }, range { $low } to { $high } at { $level } %: { $method } ({ $source }).
how-reviewed = Only reviewed attempts of the review that counts are in these numbers; a reviewed attempt without a fault is a clean one.
how-difference = Difference of the two periods: { $value } of 100 attempts, range { $low } to { $high } at { $level } %: { $method } ({ $source }).
how-shuffled = When whole rides are shuffled between the two, a difference like this comes up in { $share } of 100 cases; allowing for all lines shown, in { $adjusted }.
how-trend = Trend in 30 days: the odds of a faulty attempt are multiplied by { $value }, range { $low } to { $high } at { $level } %: { $method } ({ $source }).
how-trend-shuffled = When whole rides are shuffled over the days, a trend like this comes up in { $share } of 100 cases; allowing for all lines shown, in { $adjusted }.
how-reins = Difference of the reins, right less left: { $value } of 100 attempts, range { $low } to { $high } at { $level } %: { $method } ({ $source }).
how-ratio = Faults per minute, now over before: { $value }, range { $low } to { $high } at { $level } %: { $method } ({ $source }).
how-usual = Rate behind the order, pulled towards the horse's usual one: { $value } %, range { $low } to { $high } % at { $level } %: { $method } ({ $source }).
method-wilson = Wilson score interval
method-wilson-effective = Wilson score interval on the effective count
method-clopper = Clopper-Pearson exact interval
method-mid-p = exact mid-p interval
method-garwood = Garwood exact interval
method-poisson = exact Poisson mid-p interval
method-newcombe = Newcombe hybrid score interval
method-newcombe-effective = Newcombe hybrid score interval on effective counts
method-newcombe-horses = stratified Newcombe hybrid score interval on effective counts
method-rate-ratio = conditional mid-p interval of a rate ratio
method-ratio-horses = Mantel-Haenszel interval of a rate ratio
method-logit = binomial logit with dispersion at least 1
method-firth = binomial logit with Firth's correction and dispersion at least 1
method-shrunken = beta-binomial empirical Bayes interval
method-gamma = gamma-Poisson empirical Bayes interval
method-mckay = McKay's interval of a coefficient of variation
method-theil-sen = Theil-Sen slope with its rank interval
method-agreement = limits of agreement
method-kappa = Cohen's kappa with its large-sample interval
method-ac1 = Gwet's AC1 with its large-sample interval

# What every reader should know.
caution-foot = Rates help to choose exercises. Uneven or unlevel steps may be lameness: see a vet. Nothing here is a diagnosis.
caution-judge = Rates help to choose exercises; they do not judge a horse or a rider.
caution-range = A range says how far luck alone may have moved a rate; below 6 attempts there is none.
caution-reviewer = A fault is what a reviewer marked. Another reviewer may mark more or fewer.
caution-vet = Uneven or unlevel steps may be lameness: see a vet. Nothing here is a diagnosis.
