"""What a session leaves to be handed out: the shop's report, the customer's page, the lesson."""
