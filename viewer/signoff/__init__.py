"""Sign-off: offers, the client's decision, and a record that both sides can prove. Pure but for ``keys``."""
