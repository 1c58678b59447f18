"""The working day: nobody else joins the rooms."""
