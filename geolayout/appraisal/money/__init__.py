"""Money: margins, budgets, land equivalents, flows of trees; every price is the user's own."""
