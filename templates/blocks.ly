<%# What stands on a sheet around the music. %>

<% macro running_head(view, mm) %>
<% if view.broken %>
\column { \combine \override #'(line-width . <%= mm(122.0) %>) \sans \say #9 <%= view.running %> \abs-fontsize #10.5 \continued #'(<% for first, last, name in view.broken %>(<%= first | as_ly %> <%= last | as_ly %> <%= name %>) <% endfor %>) \vspace #0.9 }
<% else %>
\column { \sans \say #9 <%= view.running %> \vspace #0.9 }
<% endif %>
<%- endmacro %>

<% macro footer(view, numbered, mm) %>
\sans \ends \override #'(line-width . <%= mm(140.0) %>) \say #8.5 <%= view.sheet.credits.rights %> \concat {
      <% if numbered %>\abs-fontsize #13 \bold "Sheet <%= view.number %>" \hspace #<%= mm(3.0) %> <% endif %>
\abs-fontsize #8.5 \page-of #'last-of-<%= view.number %> }
<%- endmacro %>

<% macro title(view, mm) %>
<% if view.title_fits %>
  \ends \abs-fontsize #17 \bold <%= view.title %> \abs-fontsize #13 <%= view.part %>

<% else %>
  \bold \say #15 <%= view.title %>

  \vspace #<%= mm(1.5) / 3 %>

  \say #13 <%= view.part %>

<% endif %>
<%- endmacro %>

<% macro head(view, mm) %>
<% set sheet = view.sheet %>
\markup \override #'(baseline-skip . <%= mm(4.5) %>) \column {
<%= title(view, mm) | as_ly %>

  \vspace #<%= mm(1.3) / 3 %>

  \ends \override #'(line-width . <%= mm(140.0) %>) \say #11.5 <%= sheet.words %> \abs-fontsize #11.5 <%= view.tempo %>

  \vspace #<%= mm(0.4) / 3 %>

  \draw-hline
<% for line in view.lines %>
  \vspace #<%= mm(0.7) / 3 %>

  \say #10.5 <%= line %>

<% endfor %>
<% if sheet.spot.note %>
  \vspace #<%= mm(0.5) / 3 %>

  \italic \say #11 <%= sheet.spot.note %>

<% endif %>
<% if sheet.student %>
  \vspace #<%= mm(2.2) / 3 %>

<% if sheet.name %>
  \override #'(line-width . <%= mm(160.0) %>) \say #11 <%= "Name: " ~ sheet.name %>

<% else %>
  \abs-fontsize #11 \line { "Name" \draw-line #'(<%= mm(100.0) %> . 0) }
<% endif %>
<% endif %>
<% if view.how_to %>
  \vspace #<%= mm(0.7) / 3 %>

  \override #'(baseline-skip . <%= mm(3.9) %>) \sans \say #9.5 <%= view.how_to %>

<% endif %>
  \vspace #<%= mm(0.5) / 3 %>

}
<% endmacro %>

<%# What is to be done: the title, how often, for how long, at which numbers. %>
<% macro heading(one, mm) %>
\override #'(baseline-skip . <%= mm(4.2) %>) \column {
<% if one.one_line %>
  \ends \line { \abs-fontsize #11.5 \bold <%= one.title %> \hspace #<%= mm(1.0) %> \abs-fontsize #9.5 \sans <%= one.instruction %> } \abs-fontsize #9.5 \sans <%= one.aside %>

<% else %>
  \ends \abs-fontsize #11.5 \bold <%= one.title %> \abs-fontsize #9.5 \sans <%= one.aside %>

  \sans \say #9.5 <%= one.instruction %>

<% endif %>
<% for rungs in one.ladder %>
  \vspace #<%= mm(0.6) / 3 %>

  \concat {
    \wide #<%= mm(one.label_width) %> \abs-fontsize #11 \concat { \fontsize #-3 \note {<%= one.beat %>} #UP \hspace #<%= mm(1.6) %> "=" }
<% for number in rungs.numbers %>
    \wide #<%= mm(one.rung_width) %> \concat { \abs-fontsize #11 \sans \bold <%= number %> \hspace #<%= mm(1.2) %> \lower #<%= mm(0.3) %> \raise #<%= mm(2.9) %> \grid #1 #1 #<%= mm(2.9) %> #<%= mm(2.9) %> }
<% endfor %>
  }
<% for words, numbers in rungs.clicks %>
  \concat {
    \wide #<%= mm(one.label_width) %> \override #'(line-width . <%= mm(one.label_width - 1.5) %>) \sans \say #9.5 <%= words %>

<% for number in numbers %>
    \wide #<%= mm(one.rung_width) %> \abs-fontsize #10 \sans <%= number %>

<% endfor %>
  }
<% endfor %>
<% endfor %>
<% for notes, words in one.fingerings %>
  \concat { \wide #<%= mm(one.finger_width) %> \abs-fontsize #9.5 \sans \bold <%= notes %> \override #'(line-width . <%= mm(184.0 - one.finger_width) %>) \sans \say #9.5 <%= words %> }
<% endfor %>
<% for notes, drawn in one.diagrams %>
  \vspace #<%= mm(0.4) / 3 %>

  \concat { \wide #<%= mm(one.finger_width) %> \null \abs-fontsize #9 \sans \concat { <%= drawn %> } }
<% endfor %>
}
<%- endmacro %>

<% macro section_head(view, words, mm) %>
\markup \override #'(baseline-skip . <%= mm(4.5) %>) \column {
<%= title(view, mm) | as_ly %>

  \vspace #<%= mm(1.3) / 3 %>

  \ends \override #'(line-width . <%= mm(140.0) %>) \say #11 <%= words %> \abs-fontsize #11 <%= view.tempo %>

<% if view.legends %>
  \vspace #<%= mm(1.2) / 3 %>

  \sans \say #8.5 <%= view.legends | join(" ") %>

<% endif %>
  \vspace #<%= mm(2.2) / 3 %>

}
<% endmacro %>

<% macro small_print(view, mm) %>
\markup \override #'(baseline-skip . <%= mm(3.0) %>) \column {
  \vspace #<%= mm(0.9) / 3 %>

<% for caution in view.sheet.cautions %>
  \sans \say #8 <%= caution %>

<% endfor %>
<% for remark in view.sheet.remarks %>
  \sans \italic \say #8 <%= remark %>

<% endfor %>
}
<% endmacro %>

<%# One block, so that the cautions never stand alone on a page. %>
<% macro foot(view, mm) %>
\markup \override #'(baseline-skip . <%= mm(3.9) %>) \column {
<% if view.sheet.plan %>
  \vspace #<%= mm(0.5) / 3 %>

<% if view.sheet.student %>
  \override #'(baseline-skip . <%= mm(1.2) %>) \column {
  \concat {
    \wide #<%= mm(23.0) %> \null
<% for day in ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday") %>
    \wide #<%= mm(view.day_width) %> \abs-fontsize #9 \sans "<%= day | as_ly %>"
<% endfor %>
  }
<% else %>
  \column {
<% endif %>
  \concat {
    \wide #<%= mm(23.0) %> \override #'(baseline-skip . <%= mm(view.day_height) %>) \lower #<%= mm(view.day_height * 0.68) %> \column { <% for row in view.day_rows %>\abs-fontsize #9 \sans <%= row %> <% endfor %> }
    \grid #7 #<%= view.day_rows | length %> #<%= mm(view.day_width) %> #<%= mm(view.day_height) %>

  }
  }
<% endif %>
<% if view.sheet.teacher %>
  \vspace #<%= mm(2.0) / 3 %>

  \abs-fontsize #11 \line { "Teacher" \draw-line #'(<%= mm(160.0) %> . 0) }
<% endif %>
  \vspace #<%= mm(0.9) / 3 %>

  \override #'(baseline-skip . <%= mm(3.1) %>) \column {
<% for text in view.small_print %>
    \sans \say #8 <%= text %>

<% endfor %>
  }
}
<% endmacro %>
