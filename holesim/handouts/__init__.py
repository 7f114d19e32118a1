"""What people hold in their hands: cards, sheets and pages."""
