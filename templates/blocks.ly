<%# What stands on a sheet around the music. %>

<% macro running_head(view) %>
\column { \sans \say #9 <%= view.running %> \vspace #0.9 }
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

  \ends \override #'(line-width . <%= mm(140.0) %>) \say #11 <%= sheet.words %> \abs-fontsize #11 <%= view.tempo %>

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

  \abs-fontsize #11 \line { "Name" \draw-line #'(<%= mm(95.0) %> . 0) \hspace #2 "Date" \draw-line #'(<%= mm(45.0) %> . 0) }
<% endif %>
  \vspace #<%= mm(0.5 if view.tight else 2.2) / 3 %>

}
<% endmacro %>

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
<% for rungs in view.ladder %>
  \concat {
    \wide #<%= mm(view.label_width) %> \abs-fontsize #11 \concat { \note {<%= view.beat %>} #UP " =" }
<% for number in rungs.numbers %>
    \wide #<%= mm(view.rung_width) %> \abs-fontsize #12 \bold <%= number %>

<% endfor %>
  }
  \vspace #<%= mm(0.9) / 3 %>

  \concat {
    \wide #<%= mm(view.label_width) %> \abs-fontsize #9.5 \sans "correct in a row"
<% for number in rungs.numbers %>
    \wide #<%= mm(view.rung_width) %> \boxes #<%= view.sheet.ladder.repetitions %> #<%= mm(view.box) %> #<%= mm(view.box_gap) %>

<% endfor %>
  }
<% for words, numbers in rungs.clicks %>
  \concat {
    \wide #<%= mm(view.label_width) %> \override #'(line-width . <%= mm(view.label_width - 1.5) %>) \sans \say #9.5 <%= words %>

<% for number in numbers %>
    \wide #<%= mm(view.rung_width) %> \abs-fontsize #10 \sans <%= number %>

<% endfor %>
  }
<% endfor %>
<% endfor %>
<% if view.sheet.teacher %>
  \vspace #<%= mm(2.7) / 3 %>

  \abs-fontsize #11 \line { "Teacher" \draw-line #'(<%= mm(160.0) %> . 0) }
  \vspace #<%= mm(4.5) / 3 %>

  \draw-line #'(<%= mm(178.0) %> . 0)
<% endif %>
  \vspace #<%= mm(0.9) / 3 %>

  \override #'(baseline-skip . <%= mm(3.0) %>) \column {
<% for caution in view.sheet.cautions %>
    \sans \say #8 <%= caution %>

<% endfor %>
<% for remark in view.sheet.remarks %>
    \sans \italic \say #8 <%= remark %>

<% endfor %>
<% if view.legends %>
    \sans \say #8 <%= view.legends | join(" ") %>

<% endif %>
  }
}
<% endmacro %>
