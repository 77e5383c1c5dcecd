using TurfWatch.Core;
using Xunit;

namespace TurfWatch.Mail.Tests.Reading;

/// <summary>The form is that of RFC 5965 (appendix B has its examples); what providers make of it is from memory, unverified.</summary>
public sealed class ComplaintTests
{
    private const string Leave = "ugezdgnbvgy3tqojqgezdgnbvgy3tqojqge";

    [Theory]
    [InlineData("complaint-big-webmail", "abuse", Leave)]
    [InlineData("complaint-redacted", "abuse", Leave)]
    [InlineData("complaint-headers-only", "abuse", null)]
    [InlineData("complaint-from-daemon", "fraud", Leave)]
    [InlineData("complaint-of-another", "abuse", null)]
    public void The_address_to_leave_by_is_found_in_what_is_returned(
        string name,
        string type,
        string? leave
    )
    {
        var complaint = InboundCorpus.Read(InboundCorpus.Bytes(name)).Complaint!;
        Assert.Equal((type, leave), (complaint.Type, complaint.LeaveToken));
    }

    [Theory]
    [InlineData("complaint-not-spam")]
    [InlineData("complaint-auth-failure")]
    [InlineData("complaint-by-a-person")]
    [InlineData("dsn-unknown-user")]
    public void What_is_no_complaint_is_none(string name) =>
        Assert.Null(InboundCorpus.Read(InboundCorpus.Bytes(name)).Complaint);
}
