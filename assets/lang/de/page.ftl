# Der Raum „Progress“ als Seite zum Drucken oder Verschicken.

report-export = Als Seite ausgeben…
report-days = Gefragte Tage: { $days }.
report-against = Verglichen mit: { $days }.
report-against-nothing = Mit nichts verglichen.
report-contents = Auf dieser Seite
report-cautions = Vor dem Lesen
report-horses = Die Pferde
report-numbers = Die Zahlen dieses Bildes
report-overview = Alle Lektionen, oben woran zuerst zu arbeiten ist
report-column-faulty = Versuche mit Fehler
report-column-before = Davor
report-column-verdict = Versuche mit Fehler gegen davor
report-column-better = Weniger Versuche mit Fehler
report-column-worse = Mehr Versuche mit Fehler
report-column-sided = Einseitig
report-column-cautions = Zu bedenken
report-column-rides = Ritte
report-column-fault = Fehler
report-column-times = Wie oft
report-column-time = Zeit im Ritt
report-column-note = Notiz
report-column-timer = Uhr
report-column-changes = Wechsel
report-column-length = Gerittene Zeit
report-column-pace = Gangart
report-column-share = Anteil
report-column-transition = Übergang
report-steps-kinds = Arten von Übergängen, die häufigsten zuerst
report-verdict-fewer = weniger
report-verdict-more = mehr
report-verdict-unclear = kein klarer Unterschied
report-verdict-few = zu wenig, um es zu sagen
report-moments-newest = Das sind die neuesten { $moments } von { $all }. Die übrigen hat der Raum „Progress“, jede einen Klick von ihrem Film.
report-still-no-film = Kein Film zeigt diese Stelle.
report-still-gone = Der Film ist nicht, wo er war. Den Ritt öffnen, um ihn zu suchen.
report-still-another = Wo dieser Film war, liegt ein anderer. Den Ritt öffnen, um ihn zu suchen.
report-still-unreadable = Der Film lässt sich nicht lesen.
report-still-no-room = Weggelassen, sonst wäre die Seite zu groß zum Verschicken.
report-methods = Wie diese Zahlen gefunden wurden
report-methods-more = Bei jeder Lektion steht, wie ihre eigenen Zahlen gefunden wurden. Dies sind die Verfahren und wo sie veröffentlicht wurden.
report-files = Die Dateien des Hofs
report-files-fine = Alle ließen sich lesen, und an keiner ist etwas falsch.
report-files-problems = { $problems ->
    [one] An den Dateien des Hofs ist etwas falsch: hier können Zahlen fehlen. Genau sagt es „reinback check“.
   *[other] An den Dateien des Hofs sind { $problems } Dinge falsch: hier können Zahlen fehlen. Genau sagt es „reinback check“.
}
report-made = Gemacht mit Reinback { $version }, Stand { $day }.
