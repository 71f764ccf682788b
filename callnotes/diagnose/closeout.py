def open_items_of(timeline, trade): return timeline.open_items
def cautions_of(timeline, trade): return ()
def may_close(timeline): return True
