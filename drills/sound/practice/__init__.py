"""Sound to practise with: clicks, ladders that climb, drum patterns, the music itself."""
