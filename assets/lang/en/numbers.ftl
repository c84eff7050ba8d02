# Numbers, days and lengths.

decimal-sign = .

# A share of attempts: "1 in 6".
share = { $some } in { $all }
share-all = all
share-none = none
share-tiny = fewer than 1 in 200
share-nearly-all = more than 199 in 200

# $month is 1 to 12.
month = { $month ->
    [1] January
    [2] February
    [3] March
    [4] April
    [5] May
    [6] June
    [7] July
    [8] August
    [9] September
    [10] October
    [11] November
   *[12] December
}
month-short = { $month ->
    [1] Jan
    [2] Feb
    [3] Mar
    [4] Apr
    [5] May
    [6] Jun
    [7] Jul
    [8] Aug
    [9] Sep
    [10] Oct
    [11] Nov
   *[12] Dec
}
day = { $day } { $month } { $year }
day-of-month = { $day } { $month }
month-of-year = { $month } { $year }

length-seconds = { $seconds } s
length-minutes = { $minutes } min { $seconds } s
length-hours = { $hours } h { $minutes } min

# Which days: $from and $to are days.
days-every = every ride
days-from = from { $from }
days-to = up to { $to }
days-between = { $from } to { $to }
