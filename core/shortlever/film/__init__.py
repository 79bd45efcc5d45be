"""Film check: from marks and a followed plate in a side-on clip to a lift's numbers, with error bars.

What a page sends and gets, as JSON objects; ``shortlever.view.film`` is the door (``"want": "film/…"``).
Pixels: x to the right, y down, origin at the upper left corner of the upper left pixel of the picture as it
is shown (a turned phone video is turned first), so a pixel's middle is at .5. Times in s. Everything else in
the names. Every field marked ? may be left out or null.

``film/measure``::

    {"want": "film/measure",
     "unit": "cm" or "in",                     how results are said
     "picture": {"width": px, "height": px},
     "frames": [                               in time order, uneven steps are fine; one frame = a photo
        {"t": s,
         "x": px, "y": px,                     middle of the plate's outline (of the ellipse, not of the hub)
         "sd"?: px,                            error of x and of y, 1 SD (default 0.5)
         "a"?: px, "b"?: px, "tilt"?: deg,     semi-axes of the outline, a >= b; a axis from +x toward +y
         "axes_sd"?: px,                       error of a and of b, 1 SD (default as sd)
         "quality"?: 0..1,                     under 0.2 counts as lost
         "lost"?: true,                        lost frames may leave x and y out
         "moved"?: {"x", "y": px, "turn": deg, "grow": 1, "sd": px}}, …],   how the background lies
                                               against the first picture: p' = c + (x, y) + grow R(turn)
                                               (p - c), c the picture's middle; taken out of marks too
     "rims"?: [{"t": s, "points": [[x, y], …], "sd"?: px}],   rim marked by hand, 5 points or more
     "lift"?: key,                             where no "fit" names it
     "marks": {
        KEY: [{"t"?: s, "x": px, "y": px, "sd"?: px}, …],   of each joint that the lift asks for, on the near
                                               side, at one or more times
        "bar_end"?: [{…, "r"?: px}],           middle of the near end of the bar's sleeve: tells the camera's
                                               angle best, worth asking for; its radius tells the plate's
        "edge"?: [{"x", "y", "sd"?}, {…}]},     two points on the edge of the pad: then   this is the horizon
     "camera": {
        "feet"?: "left" or "right",            where the lift's side ahead is in the picture: of one who lies,
                                               the feet (default: found out by the lift)
        "plates"?: "iron-1" to "iron-3", "rubber-1" to "rubber-3",   on each side, out to the marked one;
                                               left out, the face's place is a guess with a wide doubt
        "stands"?: "level", "head" or "feet",  square to the lifter, or nearer the side behind or ahead
        "upright_sd"?: deg},                   how upright the picture is held, 1 SD (default 1.5; 0.5 tripod)
     "fields": {                               as typed, text, in the unit (cm/in) unless a unit is typed
        "distance"?: "3.2",                    camera to plate; bare numbers are m (ft where unit is "in")
        "focal"?: "26",                        lens, 35 mm equivalent, mm
        "diameter"?: "45",                     rim of the plate (default 45.0 cm)
        "plate_middle"?: "69",                 middle of the bar to the seen face of the rim (by "plates")
        "bar_length"?: "220"},                 whole bar (default 220 cm), for bar_end
     "fit"?: {…}}                              the fit screen's request (lifter and setup): body and plan

Answer: ``{"ok", "errors": [{field, code, given, message, remedy}], "warnings": [{code, field, message,
frames?}], "reading": {field: text}, …}`` and where ok::

    {"kind": "clip" or "photo",
     "headline": [{key, label, value, unit, note}],     touch, moment_arm, range_of_motion with ±
     "sentences": ["Touched 3.1 cm ± 1.0 lower than planned.", …],
     "reps": [{"number": 1, "start", "down", "rise", "end": s,         times of its phases (not of a photo)
               "complete": bool, "partial": text or null, "pause_text": "…",
               "pause_s", "pause_low_s", "pause_high_s": s or null,      motionless at the lowest place
               "speed": {"mean_m_s": N, "quickest": E, "slow": {"first_peak", "slowest", "second_peak": E}
                  or null, "curve": [{"up_m": m, "speed_m_s": N}]} or null,
                  N: {"value", "low", "high"}, E: {"speed_m_s": N, "up_m": N}, above the lowest place
               "moments": {KEY: s},                              at which joints are asked for
               "numbers": [{key, label, text, value_m, low_m, high_m, plan_m, difference, verdict, kept?}]}],
     "table": [[…], …], "table_head": […],              the same as rows of text
     "figure": {"svg", "title", "text"},                measured against plan
     "lost": {"value", "low", "high"} or null,          share of mean speed, from the quickest rep to the last
     "speed_figure": the same or null,                  speed over height
     "path": [{"rep": 1, "t": s, "y_m": m, "z_m": m, "phase": "down" or "up"}],
     "track": [{"t", "x", "y"}],                        the smoothed middle of the plate, px
     "camera": {"distance_text", "angle_text", "budget": [{"source", "text", "mm"}], "advice"}}

The numbers are the lift's own (``lifts.film``); angles have value_deg, low_deg, high_deg, plan_deg instead,
times value_s and so on, one length by another value_times.
``verdict`` is "none" (no difference outside the error), "no_plan", or the word for the difference; ``kept``
is the name by which a logged set keeps it. All intervals are 90 %.

``film/rim``: ``{"want": "film/rim", "points": [[x, y], …], "sd"?: px}`` gives ``{"ok", "ellipse": {"x",
"y", "a", "b", "tilt", "sd", "axes_sd"}}``: the ellipse through marked rim points, to draw and to start the
tracker. ``film/form``: labels, hints and defaults of the typed fields; the marks of a lift and the moments at
which they are asked for. ``film/moments``: as ``film/measure``, but no joint need be marked: ``{"ok",
"moments": {KEY: s}}``, when each moment is in the rep to mark first.

The outline is that of the rim's near face; how much of the stack's flank passes for it on one side, nobody
says, so it is in the doubt. The camera stands still but for what "moved" says; each mark is where the joint
is in the picture of its time.

Inside, from below: ``ellipse`` (rim points to an ellipse), ``pinhole`` (geometry of one camera), ``shake``
(a phone that moved), ``clip`` (reading and checking what was sent), ``track`` (smoothing), ``reps`` (down,
rest, up), ``stack`` (which plates, their flank), ``lean`` and ``stance`` (where the camera stood and with
which lens, with its doubt), ``world`` (one world that the film allows, in metres),
``paths``, ``pause`` and ``speed`` (what the frames leave open of the bar's way, its rest and its speed) and
``measure`` (the numbers and their error bars).
"""
