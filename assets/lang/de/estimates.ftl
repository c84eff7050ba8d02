# Was über Schätzwerte gesagt wird: Quoten, Vergleiche, Tendenzen.

# „4 von 23 Versuchen“
attempts = { $faulty } von { $attempts ->
    [one] { $attempts } Versuch
   *[other] { $attempts } Versuchen
}
rate = { $counts } mit Fehler, etwa { $share } ({ $range })
rate-near = { $counts } mit Fehler ({ $range })
rate-none = { $counts } mit Fehler, bisher also keiner ({ $range })
rate-all = { $counts } mit Fehler, also jeder ({ $range })
rate-unridden = nicht geritten
rate-few = { $counts } mit Fehler: zu wenige für eine Quote, ab 6 gibt es eine
rate-why = { $counts } mit Fehler. { $why }

# Die Spanne eines Anteils; $low und $high sind Anteile.
range-below = wahrscheinlich weniger als { $high }
range-above = wahrscheinlich mehr als { $low }
range-tiny = wahrscheinlich weniger als 1 von 200
range-nearly-all = wahrscheinlich mehr als 199 von 200
range-close = wahrscheinlich um { $low }
range-between = wahrscheinlich zwischen { $low } und { $high }
range-any = alles zwischen keinem und allen möglich

per-minute = { $value } Fehler pro Minute ({ $low } bis { $high }) in { $ridden }
per-minute-none = keine gerittene Zeit: die Lektionen haben keine Länge

# Eine Tendenz in wenigen Worten, unter ihrem Bild.
trend-fewer = zuletzt weniger Versuche mit Fehler, wohl kein Zufall
trend-more = zuletzt mehr Versuche mit Fehler, wohl kein Zufall
trend-unclear = keine klare Tendenz
trend-few-rides = noch zu wenige Ritte ({ $rides } von 8)
trend-one-day = keine Tendenz: alles an einem Tag
# Und ausführlich.
trend-fewer-full = Die Versuche mit Fehler werden weniger; mit Zufall allein ist das nicht zu erklären. { $rides } mit dieser Lektion.
trend-more-full = Die Versuche mit Fehler werden mehr; mit Zufall allein ist das nicht zu erklären. { $rides } mit dieser Lektion.
trend-unclear-full = Keine klare Tendenz: Was sich hier bewegt, kann Zufall sein. Das heißt nicht, dass sich nichts geändert hat. { $rides } mit dieser Lektion.
trend-few-rides-full = Noch zu wenige Ritte: { $rides } mit dieser Lektion; für eine Tendenz braucht es mindestens 8.
rides = { $rides ->
    [one] { $rides } Ritt
   *[other] { $rides } Ritte
}

# Die Hände gegeneinander; $left und $right sind Zahlen, $apart sagt, wie weit sie auseinanderliegen.
reins-right = Auf der rechten Hand weniger Versuche mit Fehler: links { $left }, rechts { $right }. { $apart }
reins-left = Auf der linken Hand weniger Versuche mit Fehler: links { $left }, rechts { $right }. { $apart }
reins-unclear = Kein klarer Unterschied zwischen den Händen: links { $left }, rechts { $right }. { $apart }
reins-few-rides = Zu wenige für eine Aussage: links { $left }, rechts { $right }. Es braucht mindestens 4 Ritte mit der Lektion auf beiden Händen.
reins-few-attempts = Zu wenige für eine Aussage: links { $left }, rechts { $right }. Auf jeder Hand braucht es mindestens 6 Versuche.
reins-few = Zu wenige für eine Aussage: links { $left }, rechts { $right }. { $why }
# Dasselbe in einer Zeile der Liste.
reins-short-right = links { $left }, rechts { $right }: rechts weniger, und das ist wohl kein Zufall
reins-short-left = links { $left }, rechts { $right }: links weniger, und das ist wohl kein Zufall
reins-short-unclear = links { $left }, rechts { $right }: kein klarer Unterschied
reins-short-few = links { $left }, rechts { $right }: zu wenige für eine Aussage
reins-why-few-rides = Es braucht mindestens 4 Ritte mit der Lektion auf beiden Händen.
reins-why-few-attempts = Auf jeder Hand braucht es mindestens 6 Versuche.
reins-apart = Kein Ritt enthält die Lektion auf beiden Händen, deshalb sind die Hände nicht zu vergleichen. Auf beiden Händen reiten oder einen längeren Zeitraum wählen.
reins-not-noted = Für diese Versuche ist keine Hand notiert. Beim Markieren notieren die Tasten , und . die Hand.
reins-how = Gezählt sind die Ritte mit der Lektion auf beiden Händen.
reins-left-count = linke Hand { $tally }
reins-right-count = rechte Hand { $tally }
reins-none-count = ohne Hand { $tally }
tally = { $faulty } von { $attempts }

# Wie weit zwei Seiten auseinanderliegen; Zahlen von 100 Versuchen. „rechts“ oder „als vorher“.
apart-fewer = Auf 100 Versuche kommen { $sides ->
    [reins] rechts wahrscheinlich { $low } bis { $high } Versuche mit Fehler weniger
   *[periods] wahrscheinlich { $low } bis { $high } Versuche mit Fehler weniger als vorher
}.
apart-fewer-up-to = Auf 100 Versuche kommen { $sides ->
    [reins] rechts wahrscheinlich bis zu { $high } Versuche mit Fehler weniger
   *[periods] wahrscheinlich bis zu { $high } Versuche mit Fehler weniger als vorher
}.
apart-more = Auf 100 Versuche kommen { $sides ->
    [reins] rechts wahrscheinlich { $low } bis { $high } Versuche mit Fehler mehr
   *[periods] wahrscheinlich { $low } bis { $high } Versuche mit Fehler mehr als vorher
}.
apart-more-up-to = Auf 100 Versuche kommen { $sides ->
    [reins] rechts wahrscheinlich bis zu { $high } Versuche mit Fehler mehr
   *[periods] wahrscheinlich bis zu { $high } Versuche mit Fehler mehr als vorher
}.
apart-either = Auf 100 Versuche kommen { $sides ->
    [reins] rechts wahrscheinlich { $fewer } Versuche mit Fehler weniger bis { $more } mehr
   *[periods] wahrscheinlich { $fewer } Versuche mit Fehler weniger bis { $more } mehr als vorher
}.
apart-or-more = Auf 100 Versuche kommen { $sides ->
    [reins] rechts wahrscheinlich ebenso viele Versuche mit Fehler wie links
   *[periods] wahrscheinlich ebenso viele Versuche mit Fehler wie vorher
}, oder bis zu { $more } mehr.
apart-or-fewer = Auf 100 Versuche kommen { $sides ->
    [reins] rechts wahrscheinlich ebenso viele Versuche mit Fehler wie links
   *[periods] wahrscheinlich ebenso viele Versuche mit Fehler wie vorher
}, oder bis zu { $fewer } weniger.

# Zwei Zeiträume. $now ist eine kurze Quote, $earlier wann („im Vormonat“), $before Zahlen.
now-about = { $counts } mit Fehler, etwa { $share }
now-few = { $counts } mit Fehler
now-none = { $counts } mit Fehler, also keiner
now-all = { $counts } mit Fehler, also jeder
periods-fewer = { $now }; { $earlier } { $before }: weniger, und das ist wohl kein Zufall
periods-more = { $now }; { $earlier } { $before }: mehr, und das ist wohl kein Zufall
periods-unclear = { $now }; { $earlier } { $before }: kein klarer Unterschied
periods-few = { $now }; { $earlier } { $before }: zu wenige für eine Aussage
periods-only-now = { $now }; { $earlier } nicht geritten
periods-only-before = jetzt nicht geritten; { $earlier } { $before }
# Wo ein Zeitraum zu wenige Ritte hat; only-before nennt Lektionen mit ihren Zahlen.
no-rides-before = Kein Ritt { $earlier }: nichts zum Vergleichen.
few-rides-now = { $rides }: zu wenige für einen Vergleich; es braucht mindestens 4.
few-rides-before = { $rides } { $earlier }: zu wenige für einen Vergleich; es braucht mindestens 4.
only-before = Nur { $earlier } geritten: { $exercises }
only-before-one = { $exercise } { $tally }
periods-why-few-rides = Beide Zeiträume brauchen mindestens 4 Ritte mit dieser Lektion.
periods-why-few-attempts = Beide Zeiträume brauchen mindestens 6 Versuche.
earlier-last-month = im Vormonat
earlier-month = im { $month } { $year }
earlier-days-before = { $days ->
    [one] am Tag davor
   *[other] in den { $days } Tagen davor
}
earlier-others = an den anderen Tagen ({ $days })
earlier-three-months = in den drei Monaten davor
earlier-days = vor dem { $day }

# Fehler statt Versuche mit Fehler. $rate sind Fehler pro Minute; $now und $before oben sind das hier.
faults-now = { $faults } Fehler, { $rate } pro Minute
faults-now-untimed = { $faults } Fehler
faults-a-minute-short = { $rate } je min
faults-of-reins = links { $left }; rechts { $right }
# Das Wievielfache die Fehler pro Minute gegenüber vorher sind.
times-as-many = Zwischen dem { $low }- und dem { $high }-Fachen pro Minute gegenüber vorher, wenn Fehler einzeln kommen.
times-as-many-none = Vorher kein Fehler: Das Wievielfache es ist, lässt sich nicht sagen.
most-faults-ride = { $faults ->
    [0] in keinem Ritt ein Fehler
   *[other] höchstens { $faults } Fehler in einem Ritt
}
most-faults-month = { $faults ->
    [0] in keinem Monat ein Fehler
   *[other] höchstens { $faults } Fehler in einem Monat
}

# Warum eine der ersten drei Zeilen dort steht. $earlier ist wann („im Vormonat“).
first-more = öfter mit Fehler als { $earlier }
first-more-attempts = mehr Versuche mit Fehler als { $earlier }
first-left = links misslingt es öfter als rechts
first-right = rechts misslingt es öfter als links
# $rides sind Ritte mit einem geprüften Versuch; $faulty ist in einem davon zu erwarten.
first-most = die meisten Versuche mit Fehler: etwa { $faulty } je geprüftem Ritt, aus { $rides }
first-many = etwa { $faulty } Versuche mit Fehler je geprüftem Ritt, aus { $rides }

# Warum ein Zeuge für ein Urteil nicht genügte.
reservation-range-alone = Die Spanne schließt die Null aus; werden aber ganze Ritte zwischen beiden Seiten gemischt, kommt ein solcher Unterschied zu oft heraus. Dahinter können einzelne ungewöhnliche Ritte stecken.
reservation-many-lines = Für sich allein gälte das als Unterschied; bei so vielen Lektionen ist einer davon aber schon durch Zufall zu erwarten.
reservation-shuffles-alone = Die Ritte unterscheiden sich stärker als gemischte Ritte sonst, die Spanne enthält aber noch die Null. Mehr Ritte werden es zeigen.
# Dasselbe kurz, hinter dem, wie weit zwei Zeiträume auseinanderliegen.
reserved-range-alone = { $apart } Dahinter können einzelne ungewöhnliche Ritte stecken.
reserved-many-lines = { $apart } Bei so vielen Lektionen kann das noch Zufall sein.
reserved-shuffles-alone = { $apart } Mehr Ritte werden es zeigen.

# Nach einem Fehler.
after-none = Kein Versuch mit Fehler: Es gab nichts zu wiederholen.
after-again = Nach { $faulty } von { $attempts } { $attempts ->
    [one] Fehler
   *[other] Fehlern
} gleich noch einmal geritten.
after-repeats = Wieder misslungen: { $faulty } von { $attempts ->
    [one] { $attempts } Wiederholung
   *[other] { $attempts } Wiederholungen
}.
after-next = Der nächste Versuch misslang nach einem Fehler { $after } Mal, nach einem gelungenen { $clean } Mal.
after-next-mistake = Der nächste Versuch misslang nach einem Fehler { $after } Mal.
after-next-clean = Der nächste Versuch misslang nach einem gelungenen { $clean } Mal.
after-in-a-row = Ein Fehler zieht den nächsten nach sich, öfter als durch Zufall.
after-settles = Nach einem Fehler gelingt der nächste Versuch eher besser, öfter als durch Zufall.
after-no-pattern = Von einem Versuch zum nächsten ist kein klares Muster zu sehen.
after-few = Zu wenige für ein Muster: Es braucht mindestens 6 Versuche nach einem Fehler und 6 nach einem gelungenen.

# Was in keiner Quote steckt.
left-out = { $exercises ->
    [one] { $exercises } Lektion ist nicht mitgezählt
   *[other] { $exercises } Lektionen sind nicht mitgezählt
}
left-out-faults = { $exercises ->
    [one] { $exercises } Lektion ist nicht mitgezählt
   *[other] { $exercises } Lektionen sind nicht mitgezählt
}, mit { $faults ->
    [one] { $faults } Fehler
   *[other] { $faults } Fehlern
}
loose-faults = { $faults } Fehler außerhalb jeder Lektion

# Warum es keine Zahl gibt.
why-no-attempts = Noch kein durchgesehener Versuch. Die angesehenen Lektionen auf „durchgesehen“ setzen.
why-six-attempts = Weniger als 6 Versuche: Die Zahlen selbst sagen mehr als eine Prozentangabe. Mehr Lektionen durchsehen.
why-no-time = Keine gerittene Zeit: Die Lektionen haben keine Länge. Ein Ende setzen.
why-four-rides = Weniger als 4 Ritte auf einer Seite: zu wenige für eine Aussage. Einen längeren Zeitraum wählen.
why-eight-rides = Noch zu wenige Ritte: Für eine Tendenz braucht es mindestens 8 mit dieser Lektion.
why-one-day = Alle Ritte sind an einem Tag: Für eine Tendenz braucht es mehrere Tage.
why-no-faults = Auf einer Seite kein Fehler: Ein Verhältnis lässt sich nicht angeben. Die Zahlen ansehen.
why-alike = Alle Versuche sind gleich: Vom einen lässt sich nicht auf den nächsten schließen.
why-overlap = Die beiden Zeiträume haben gemeinsame Tage. Mit Tagen vergleichen, die davor enden.
why-no-mistakes = Kein Versuch mit Fehler: Es gab nichts zu wiederholen.
why-contradictory = Diese Zahlen können nicht stimmen. Die Einträge dieser Lektion prüfen.

# Wie es gefunden wurde. $method ist der Name des Verfahrens, $source, wo es veröffentlicht ist.
how-rate = Versuche mit Fehler: { $value } %, Spanne { $low } bis { $high } % bei { $level } %: { $method } ({ $source }).
how-likeness = Versuche eines Ritts ähneln einander: Diese { $attempts } sind so viel wert wie { $worth } voneinander unabhängige.
how-per-minute = Fehler pro Minute: { $value }, Spanne { $low } bis { $high } bei { $level } %: { $method } ({ $source }).
how-reviewed = In diesen Zahlen stecken nur durchgesehene Versuche der Durchsicht, die zählt; ein durchgesehener Versuch ohne Fehler gilt als gelungen.
how-difference = Unterschied der beiden Zeiträume: { $value } von 100 Versuchen, Spanne { $low } bis { $high } bei { $level } %: { $method } ({ $source }).
how-shuffled = Werden ganze Ritte zwischen beiden gemischt, kommt ein solcher Unterschied in { $share } von 100 Fällen heraus; alle gezeigten Lektionen mitbedacht in { $adjusted }.
how-trend = Tendenz in 30 Tagen: Die Chance eines Versuchs mit Fehler wird mal { $value } genommen, Spanne { $low } bis { $high } bei { $level } %: { $method } ({ $source }).
how-trend-shuffled = Werden ganze Ritte über die Tage gemischt, kommt eine solche Tendenz in { $share } von 100 Fällen heraus; alle gezeigten Lektionen mitbedacht in { $adjusted }.
how-reins = Unterschied der Hände, rechts weniger links: { $value } von 100 Versuchen, Spanne { $low } bis { $high } bei { $level } %: { $method } ({ $source }).
how-ratio = Fehler pro Minute, jetzt geteilt durch vorher: { $value }, Spanne { $low } bis { $high } bei { $level } %: { $method } ({ $source }).
how-usual = Quote für die Reihenfolge, zur üblichen des Pferdes hin gerückt: { $value } %, Spanne { $low } bis { $high } % bei { $level } %: { $method } ({ $source }).
method-wilson = Wilson-Intervall
method-wilson-effective = Wilson-Intervall auf die wirksame Anzahl
method-clopper = exaktes Intervall nach Clopper und Pearson
method-mid-p = exaktes Intervall mit mittlerem p
method-garwood = exaktes Intervall nach Garwood
method-poisson = exaktes Poisson-Intervall mit mittlerem p
method-newcombe = Newcombe-Intervall eines Unterschieds
method-newcombe-effective = Newcombe-Intervall eines Unterschieds auf wirksame Anzahlen
method-newcombe-horses = Newcombe-Intervall eines Unterschieds auf wirksame Anzahlen, nach Pferden geschichtet
method-rate-ratio = bedingtes Intervall eines Ratenverhältnisses mit mittlerem p
method-ratio-horses = Intervall eines Ratenverhältnisses nach Mantel und Haenszel
method-logit = binomiales Logit-Modell mit Streuung von mindestens 1
method-firth = binomiales Logit-Modell nach Firth mit Streuung von mindestens 1
method-shrunken = empirisches Bayes-Intervall (Beta-Binomial)
method-gamma = empirisches Bayes-Intervall (Gamma-Poisson)
method-mckay = Intervall eines Variationskoeffizienten nach McKay
method-theil-sen = Steigung nach Theil und Sen mit Rangintervall
method-agreement = Grenzen der Übereinstimmung
method-kappa = Kappa nach Cohen, Intervall für große Anzahlen
method-ac1 = AC1 nach Gwet, Intervall für große Anzahlen

# Was jede Leserin und jeder Leser wissen sollte.
caution-foot = Quoten helfen, Lektionen auszuwählen. Ungleiche Tritte können eine Lahmheit sein: tierärztlich abklären. Nichts hier ist eine Diagnose.
caution-judge = Quoten helfen, Lektionen auszuwählen; sie urteilen nicht über Pferd oder Reiter.
caution-range = Eine Spanne sagt, wie weit der Zufall allein eine Quote verschoben haben kann; unter 6 Versuchen gibt es keine.
caution-reviewer = Ein Fehler ist, was bei der Durchsicht markiert wurde. Jemand anderes markiert vielleicht mehr oder weniger.
caution-vet = Ungleiche Tritte können eine Lahmheit sein: tierärztlich abklären. Nichts hier ist eine Diagnose.
