<%# What stands on a sheet around the music. %>

<% macro running_head(view) %>
\column { \abs-fontsize #9 \sans \line { <%= view.running %> } \vspace #0.6 }
<%- endmacro %>

<% macro footer(view, numbered) %>
\abs-fontsize #8.5 \sans \ends <%= view.sheet.credits.rights %> \concat {
      <% if numbered %>"sheet <%= view.number %>, " <% endif %>
"page " \fromproperty #'page:page-number-string " of " \page-ref #'last-of-<%= view.number %> "0" "?" }
<%- endmacro %>

<% macro head(view, mm) %>
<% set sheet = view.sheet %>
\markup \column {
<% if view.title_fits %>
  \ends \abs-fontsize #17 \bold <%= view.title %> \abs-fontsize #13 <%= sheet.part %>

<% else %>
  \bold \say #17 <%= view.title %>

  \say #13 <%= sheet.part %>

<% endif %>
  \vspace #0.3
  \ends \override #'(line-width . <%= mm(140.0) %>) \say #11 <%= sheet.words %> \abs-fontsize #11 <%= view.tempo %>

<% if sheet.spot.note %>
  \vspace #0.1
  \italic \say #11 <%= sheet.spot.note %>

<% endif %>
<% if sheet.student %>
  \vspace #0.5
  \abs-fontsize #11 \line { "Name" \draw-line #'(<%= mm(95.0) %> . 0) \hspace #2 "Date" \draw-line #'(<%= mm(45.0) %> . 0) }
<% endif %>
}
<% endmacro %>

<% macro ladder(view, mm) %>
<% for rungs in view.ladder %>
\markup \override #'(word-space . 0) \override #'(baseline-skip . 2.5) \column {
  \line {
    \pad-to-box #'(0 . <%= mm(view.label_width) %>) #'(0 . 0) \line { \note {<%= view.beat %>} #UP \hspace #0.6 "=" }
<% for number in rungs.numbers %>
    \pad-to-box #'(0 . <%= mm(view.rung_width) %>) #'(0 . 0) \abs-fontsize #12 \bold <%= number %>

<% endfor %>
  }
  \vspace #0.2
  \line {
    \pad-to-box #'(0 . <%= mm(view.label_width) %>) #'(0 . 0) \abs-fontsize #9.5 \sans "correct in a row"
<% for number in rungs.numbers %>
    \pad-to-box #'(0 . <%= mm(view.rung_width) %>) #'(0 . 0) \line {
<% for box in range(view.sheet.ladder.ticks) %>
      \path #0.12 #'((moveto 0 0) (rlineto <%= mm(view.box) %> 0) (rlineto 0 <%= mm(view.box) %>) (rlineto -<%= mm(view.box) %> 0) (closepath)) \hspace #<%= mm(view.box_gap) %>

<% endfor %>
    }
<% endfor %>
  }
<% for words, numbers in rungs.clicks %>
  \line {
    \pad-to-box #'(0 . <%= mm(view.label_width) %>) #'(0 . 0) \abs-fontsize #9.5 \sans <%= words %>

<% for number in numbers %>
    \pad-to-box #'(0 . <%= mm(view.rung_width) %>) #'(0 . 0) \abs-fontsize #10 \sans <%= number %>

<% endfor %>
  }
<% endfor %>
}
<% endfor %>
<% endmacro %>

<% macro foot(view) %>
<% if view.sheet.teacher %>
\markup \abs-fontsize #11 \line { "Teacher" \draw-line #'(100 . 0) }
<% endif %>
\markup \override #'(baseline-skip . 2) \column {
<% for caution in view.sheet.cautions %>
  \sans \say #8 <%= caution %>

<% endfor %>
<% for remark in view.sheet.remarks %>
  \sans \italic \say #8 <%= remark %>

<% endfor %>
}
<% endmacro %>
